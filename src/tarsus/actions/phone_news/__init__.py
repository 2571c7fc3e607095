"""Telling a phone through the push service of its browser: sealed for that phone alone, signed by this park.

Decision 0051.
"""
