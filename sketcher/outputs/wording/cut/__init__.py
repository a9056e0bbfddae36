"""How is what is cut, joined and bought said?

Way in: `outputs.wording.sentences`, by the code of what is said.
"""
