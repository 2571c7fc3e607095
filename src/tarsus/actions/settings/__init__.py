"""What a park sets: itself, its colours, species and rules, exhibits and places, people."""
