"""What is sawn from timber, how long, how bent and how bevelled: bearers along the hull, and supports under wide lids?

Way in: `bearer_patterns.stringer_patterns`.

Decided, and what would change it:

- A bearer's upper face keeps its stated width, for the lid lies on it; its back is planed to the hull from there, as steep as
  clears the skin at half its depth and at all of it. Where the hull is wider below, stock is wider than stated; where a bevel
  would take more than all of the lower face, the bearer is less deep there. Would change: bearers planed hollow to the skin.
- Sections stand square to the upper outer edge. Skin and bevels are the fine facets' at every centimetre.
- Its pattern is its upper face as it lies in the boat, bent: a form to laminate on, and what a cold-bent batten is held to.
- Supports lie under joints where as few as are needed can, and joints are laid where these can lie; none is added for one, since
  a full strap holds without, and one let in all along takes its thickness from the support. Would change: a rule that asks for
  bearers under joints.
- Kerfs are not proposed: for a strain of half a percent over a kerf that closes, its web would be a hundredth of its depth.
"""
