"""What stands in the page's margin about the boat, what was noticed of her, and what is selected?

Way in: `sections.MARGIN`; each other module makes one section.
"""
