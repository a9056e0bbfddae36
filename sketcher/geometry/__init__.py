"""Shapes and numbers, with no word of boats: what holds for any curve, surface, solid or outline.

Way in: the module of the shape at hand; `mesh.TriMesh` is the one solid that passes between layers.
"""
