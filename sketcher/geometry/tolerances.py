"""Every tolerance, with its unit and its reason."""

IN_PLANE = 1e-9
"""[m] A point no further from a cutting plane lies in it: well above the rounding of coordinates, far below any figure shown."""

SECTIONS_APART = 1e-3
"""[m] two sections nearer along the body than a tape can tell are one section entered twice."""

POINTS_APART = 1e-4
"""[m] two points of a measured line nearer than any tape can tell are one point entered twice."""

SAME_POINT = 1e-10
"""[m] corners of a convex solid nearer than this are one: a thousand times the rounding of a boat's coordinates."""

INTO_NEIGHBOUR = 1e-6
"""[m] how far a tied edge goes into its neighbour: faces that merely abut come apart by rounding, a micrometre never does."""

INTO_PANEL = INTO_NEIGHBOUR / 2
"""[m] how far what closes a gap goes into the panels beside it: as far as a tied edge does, and faces of the two would be one."""

RESIDUAL = 1e-9
"""[1] share of the inside by which compartments, panels, gaps and slivers may miss its volume: rounding is a thousandth of it."""

RESIDUAL_VOLUME = 1e-6
"""[m3] and no less than a millilitre of it is worth a word: no figure shown is finer."""

SLIVER_VOLUME = 1e-4
"""[m3] a space smaller than a tenth of a litre is no compartment but a misfit, and is reported as one."""

ADJOINING_AREA = 1e-6
"""[m2] spaces that share less than a square millimetre of a panel's face do not adjoin."""

BEYOND_HULL = 0.1
"""[m] how far panels may run past the hull's box: enough to clear it, near enough that no two of their faces meet far out."""

SAME_PLACE = 1e-9
"""[m] Points no further apart are one point: well above the rounding of coordinates, a millionth of a millimetre."""

SAME_SHARE = 1e-9
"""[share of a curve's length] Places no further apart are one place: well above rounding, far below a row's width."""

FACET_ERROR = 1e-6
"""[share of the box's volume] A grid is not refined past this, unless another share is named: far below any figure shown."""

FLAT_TWIST = 5e-5
"""[share of the sheet's longest side] How far facets may leave a twisted ruled cell: half a millimetre in ten metres."""

TAPE_ERROR = 3.4e-3
"""[m] standard error of a measured number: within 5 mm either way, and rounded, with a little to spare."""

FAIRNESS = 2e-3
"""[m] how far a fair hull may leave the line through four neighbouring stations, and its whole section with it."""

FAIRNESS_SHARE = 0.25
"""[1] the same where lines bend: this share of the difference between the lines through four stations and through two."""

KEEL_TURN = 2.0
"""[1] how many times more the lowest line may leave it than others do: it turns up into an end, or has a real corner there."""

FAIRNESS_REACH = 0.35
"""[share of a section's girth] over which the hull leaves that line in one piece: a slip stands alone, a swelling does not."""

STATIONS_NEAR = 0.8
"""[m] sections no further apart leave a fair line by no more than that; beyond, by the cube of the distance."""

BETWEEN_POINTS_SHARE = 0.15
"""[1] how far a section may leave the curve through its points: this share of the curve's own bulge over the chord."""

ROUGHNESS = 1e-3
"""[m] what a single point may stand off a fair surface beside its measuring error: paint, fillets, a weld."""

CLEAR = 1e-7
"""[m] Shapes that overlap by less are taken to touch: a tenth of a micrometre, far above rounding and far below any tape."""

SETTLED = 1e-8
"""[m] A body has settled in the water when its next correction moves no point of it further: far below 0.1 mm, above rounding."""

FIT_CELL = 0.10
"""[m] Grid of places a lying figure is first tried at; a local search goes on from there, so it does not bound the precision."""

TOUCHING = 1e-6
"""[m] A point this near a face touches it: above what a tied edge goes into its neighbour, far below a saw's width."""

MITRE = 4.0
"""[shell thicknesses] The other face's sides meet no further out than this past a keel or stem, however fine it is."""

OPEN_EDGE_AREA = 1e-7
"""[m2] less of a panel's edge than a tenth of a square millimetre does not count as standing open."""

GAP_SEEN = 1.05e-5
"""[m] a gap of a hundredth of a millimetre is two numbers rounded apart; off the steps of numbers in files."""

EVEN = 3.3e-6
"""[m] added to a limit for gaps, so that one as wide as the limit is within it; off the steps of a file's numbers too."""

NO_CONTACT = 1e-10
"""[m2] solids that share less of a plane than a ten-thousandth of a square millimetre do not touch there."""

CROSSED = 1e-6
"""[m] Water that stands no higher over the edge of a hole than this has not gone through: 100 times what `SETTLED` leaves."""

HOLE_AREA = 1e-6
"""[m2] less of an opening than a square millimetre within a panel's face joins nothing."""

ON_SKIN = 0.05
"""[m] an opening through the hull may be stated this far off the shell's inside: shell thickness and a tape's error together."""

NOTHING_LEFT = 1e-9
"""[m3] a panel with less than a cubic millimetre inside the hull is not in it."""

LAYER_SKIN = 1e-6
"""[m] A layer of cylinders begins this far above a floor it stands on: floors that only rounding lifts must not shut it."""

NO_SECTION = 1e-12
"""[m2] A section smaller than a millionth of a square millimetre is what rounding leaves of none."""

PILE_VOLUME = 1e-7
"""[m3] A heap is as large as asked to a tenth of a millilitre: a link of the thinnest chain is more."""

BOX_STRIDE = 0.05
"""[m] How far the sides of a box may go in one step while it is enlarged: about a cell of the grid it was found on."""

SAME_AREA = 1e-9
"""[1] areas that differ by less than this share are one: rounding in sums of triangles is far below it."""

REACH_SKIN = 1e-3
"""[m] Who reaches round an edge passes it at a millimetre, and a point on a wall is reached when its last millimetre is."""

PARALLEL = 1e-12
"""[1] how far the cosine of the angle between two planes may be from 1 for them to count as parallel: a microradian apart."""

FAR_OUT = 1000.0
"""[m] a panel of which nothing lies within this of the hull is nowhere, not outside it."""

PACKED = 1e-6
"""[m] Cylinders may overlap by a micrometre in a packing's check: ten times what rows leave, a hair's hundredth."""

SAME_HEIGHT = 1e-9
"""[m] corners of an opening whose heights differ by less are equally low: rounding, not a slope."""

CREASE = 15.0
"""[deg] Facets of a smooth surface turn less than this from one to the next; a corner that matters to a saw turns more."""

PLOTTED = 1e-5
"""[m] A hundredth of a millimetre: no pen, saw or printer shows less."""

RUNS_ON = 3e-4
"""[m] A surface that leaves its own tangent by less, within a gap of a plane, runs on straight: a saw is not set finer."""

DEVELOPABLE = 5e-3
"""[m] A surface whose lines miss by no more when laid flat is developable: a tape errs as much, and ply is sprung as far."""

PART_AREA = 1e-4
"""[m2] A piece of a board smaller than a square centimetre is not cut."""

NEST_SLACK = 1e-6
"""[m] Nested shapes may come nearer than the kerf by twice this, so that shapes which fit exactly are found to fit."""

NEST_STEP = 1e-3
"""[m] Outlines are nested with points left out that stand off by less, and grown by what that takes: a third of a saw's kerf."""

NO_ROOM = 1e-12
"""[m3] a part with less than a thousandth of a cubic millimetre is what rounding leaves between two faces in one plane."""
