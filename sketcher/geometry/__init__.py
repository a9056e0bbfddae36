"""What holds for any curve, surface, solid or outline? Shapes and numbers, with no word of boats.

Way in: the module of the shape at hand; `mesh.TriMesh` is the one solid that passes between layers.
"""
