"""What happens while the hand is down: what is held, how it moves, which figures follow?

Way in: `dragging.Dragging`.
"""
