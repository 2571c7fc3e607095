"""Serving phones on the park's own network: a local authority, and a page that says how to trust it."""
