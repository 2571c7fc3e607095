"""Small drawings of our own, as SVG text: no script, no style, the inks are those of plots.css.

Decision 0013.
"""
