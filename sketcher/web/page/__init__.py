"""What does the page show of a workspace, and what can be taken away from it?

Way in: `shown_page.ShownPage` and `downloads.download`.
"""
