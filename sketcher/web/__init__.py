"""The sketch in the browser: one server on this machine, one boat, the same named edits as everywhere.

Way in: `app.serve`. `ui` makes markup and `view` pictures of what they are given; only `logic` changes the boat.
"""
