"""What is due, a file a family. Each derives duties from plain facts and stores nothing."""
