"""What is dragged, how does it move with the pointer or an arrow key, and which figures follow?

Way in: `pointer_drag.PointerDrag`.
"""
