"""Tarsus: for the keeper who answers for every bird.

Decision 0001.
"""
