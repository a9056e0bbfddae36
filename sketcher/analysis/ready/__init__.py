"""With which layout, and which hull, could an owner begin? Ready ones of our own, fitted to what was measured.

Way in: `fitted.ready_layout`; `typical_forms.first_guess` for a hull of which only the principal dimensions are known.

A layout is drawn from what the hull measures (`measured_bow`, `layouts`), then mended by the remedies that the report itself
works out until it needs none (`fitted`): so it is judged by the same rules as an owner's own, and holds no number for a boat that
it was made for. Where the waterline is not known it is guessed from the usual displacement of her length and said to be a
guess in the file and first in the report. Would change: owners who begin with something else than a bow.
"""
