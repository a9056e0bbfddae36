"""Which parts of card make a model of her inside and hull, and do they go together?

Way in: `card_model.card_model`; its nouns are in `parts`.

Decided, and what would change it:

- A panel is one card in the middle of its board's thickness; what ends on it goes on to the card. Deck, coachroof, cockpit,
  timber and cushions are left out, so that one looks in. Would change: models of the deck.
- Hulls with knuckles that were measured inside get their strakes, each plate laid flat by itself; all others frames outside the
  skin on a spine, so that the inside stays free, a bulkhead and its frame being one part. Would change: owners who plank a model.
- A part goes down into its place, then at most along one line: so upright panels are halved where they cross, tabs point down, or
  one way, and what ends otherwise has a flap to glue. Lids are parted by what runs through them, as in the boat.
- Nothing is believed: every part is put back into the boat as a solid of the card's thickness, overlaps and gaps are measured.
"""
