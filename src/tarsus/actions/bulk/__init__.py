"""The one bulk reader: plain rows of a park, from the demo, from a sheet or from an export."""
