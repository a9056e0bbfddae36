"""The same spaces while a panel is under the hand: only what moved is cut anew, with the figures of a fresh layout.

Way in: `dragged_layout.Mover`. All here is for speed; `tests/benchmarks/bench_layout.py` measures it.
"""
