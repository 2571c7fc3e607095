"""How many birds can be told apart: codes over colours, their constructions, searches and bounds."""
