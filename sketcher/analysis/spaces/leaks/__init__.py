"""Where does water get from one space to another: gaps, openings, hollow stringers, pipes?

Way in: `flow_paths` for the paths, `gap_sealing.seal` for gaps that part two spaces.
"""
