"""How does the page say it: every part of the page as markup, from plain values?

Way in: `page.page_parts`.

Decided, and what would change it:

- The rows of the compartments are parts of their own, and picture and figures come in one frame of the browser: it takes a
  third of the time.
"""
