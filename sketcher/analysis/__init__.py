"""What is known of a scene? Frozen results in SI units, findings beside them.

Way in: `evaluate.evaluate` for a scene, `checking.findings_of_file` for a file. Order of rooms, each importing only those before
it: hull and survey, results, afloat, spaces, fit, cut, loading, flooding. Loading stands after cut since the boards to be cut are
weights; flooding after loading since the loaded boat is what floods.
"""
