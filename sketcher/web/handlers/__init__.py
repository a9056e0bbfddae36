"""What is done when a page sends a message?

Way in: `registry.handle`. Each other module handles one kind of message: it checks the message's values and does what it asks.
"""
