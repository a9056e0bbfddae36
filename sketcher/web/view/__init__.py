"""What is seen and pointed at on the page: pictures under way, names, handles and drawings of one evaluation?

Way in: `drawing_sheet` for the drawings, `picking` for the pointer, `labels` for names, `drag.page_stage` for the picture.
"""
