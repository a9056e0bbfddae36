"""How do results get on paper, into pictures, tables and files? No figure is worked out here.

Way in: the folder of the kind of output; `progress` says a word to who waits.
"""
