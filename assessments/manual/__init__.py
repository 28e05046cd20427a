"""The manual: pages as plain parts, shown on a page and printed by one and the same code.

Every number on it is computed when it is shown, by the code that scores results.
"""
