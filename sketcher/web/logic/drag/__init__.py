"""What is dragged, how does it move with the pointer or an arrow key, and which figures follow?

Way in: `pointer_drag.PointerDrag`.

For speed there are two ways to the figures (`drag_evaluation`): what is watched is worked out for each picture, all the rest by a
thread that always takes the newest place (`following_figures`). `tests/benchmarks/drag_costs.py` measures it.
"""
