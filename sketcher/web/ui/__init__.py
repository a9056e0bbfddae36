"""How does the page say it: every part of the page as markup, from plain values?

Way in: `page.page_parts`.
"""
