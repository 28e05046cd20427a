"""Rings among things that come before each other."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from coursework.rings import ring_among, ring_sentence


def test_the_sentence_names_all_of_a_ring():
    assert "“A” → “B” → “A”" in ring_sentence(["A", "B", "A"])


@given(st.dictionaries(st.integers(0, 6), st.sets(st.integers(0, 6))))
def test_a_ring_is_found_where_walking_back_comes_home_and_only_there(before):
    def reaches_itself(start) -> bool:
        seen, rest = set(), set(before.get(start, ()))
        while rest:
            node = rest.pop()
            seen.add(node)
            rest |= before.get(node, set()) - seen
        return start in seen

    ring = ring_among(before)
    assert bool(ring) is any(reaches_itself(node) for node in before)
    for earlier, later in pairwise(ring):
        assert earlier in before[later]
    assert not ring or ring[0] == ring[-1]
