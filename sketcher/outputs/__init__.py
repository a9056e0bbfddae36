"""How do results get on paper, into pictures, tables and files? No figure is worked out here.

Way in: the folder of the kind of output, `one_page` for a page of them all; `progress` says a word to who waits.
"""
