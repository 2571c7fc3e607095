"""Bands in a photograph: colours under a light, an exposure, fading and mud that nobody knows."""
