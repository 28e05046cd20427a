"""Direction finding with the sun: pure computation over arrays and aware times.

Angles are degrees, bearings clockwise from true north in [0, 360), errors in (-180, 180] and
positive to the right (clockwise). Latitudes are positive north, longitudes positive east.
"""

ENGINE = "plumbshadow-solar 1"
"""Named in every stored score; raised whenever a score could come out differently."""
