"""Does it go in: people in berths, stowage, bottles, chain, foam and tanks in spaces, a hand to a fitting?

Way in: `berths.berth_rooms` for berths, `contents.with_contents` for all that a scene puts into its spaces.
"""
