"""What a yard's standard says of a vessel, and how two vessels differ.

`check(analysis)` judges, `compare(a, b)` compares. A finding is data; it is never raised.
"""
