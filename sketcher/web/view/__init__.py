"""What is seen and pointed at on the page: pictures, names, handles and drawings of one evaluation?

Way in: `drawing_sheet` for the drawings, `renderer` for the picture, `picking` for the pointer.
"""
