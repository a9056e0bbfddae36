"""How does the page say it: every part of the page as markup, from plain values?

Way in: `page.page_parts`.

Decided, and what would change it:

- The margin has three tabs: the part that is selected and the list of them, the spaces and how she floats, the findings. What
  is selected comes to the front; what is dragged does not, so that litres can be watched. Would change: screens that hold all.
- The rows of the compartments are parts of their own, and picture and figures come in one frame of the browser: it takes a
  third of the time.
"""
