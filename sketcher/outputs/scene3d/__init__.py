"""What does the boat look like in space: her shapes, and the picture of them?

Way in: `picture.picture_png`.
"""
