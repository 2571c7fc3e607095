"""What people read: numbers, plurals and sentences, each once. The phone's twins pass the same cases.

Decision 0031.
"""
