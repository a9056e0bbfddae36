"""What is seen and pointed at: shapes, names, handles and drawings of one evaluation?

Way in: `boat_shapes.boat_shapes` for the picture, `drawing_sheet` for the drawings.
"""
