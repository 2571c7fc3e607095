"""Keeping the register safe: copies made while it runs, and a copy put back in its place."""
