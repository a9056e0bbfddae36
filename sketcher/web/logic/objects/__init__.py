"""What does an edit that is typed or chosen, not dragged, do to the objects of a scene?

Way in: `editing.ObjectEditor`.
"""
