"""A made-up next version, so that the way up is tested before there is one.

Its migrations are the real ones and one more in each package: a column that is filled from another,
and a table.
"""
