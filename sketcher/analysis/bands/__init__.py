"""How sure is a figure, how sure a verdict, and what should be measured again?

Way in: `known.how_known`, which gives every figure its band and every verdict its doubt; `again.worth_measuring` for readings.

Decided, and what would change it:

- Each reading errs by itself, normally, by the standard deviation that the files state. What is planned is taken as stated; so
  are shell and deck thickness, appendages, permeabilities, what stands already, how she stood when measured, and how the skin
  runs between the points. Would change: a file that says how well these are known.
- A hull whose sides were measured apart is refused: readings are carried by one side's surface, folded. Would change: owners who
  measure both.
- Where figures are smooth they go with the readings in a straight line. Its slopes are not taken reading by reading, which costs
  an evaluation each, but along the few directions in which readings move what figures feel: the litres of each space, what
  carries her, the waterplane, the sheer, the edges of berths. Each direction is looked along by a report's own evaluation, of
  surfaces with half as many facets: the same boat stated is looked at so too, and only differences count.
- The least of many heights, a freeboard, is no straight line though each of the heights is one: it is drawn. The sheer's part
  of each is the same whether she is holed or not, so all boats that are looked at show what the directions miss of it.
- What the directions miss, and what is not straight, is seen in boats that are remeasured at random, and is added to the band.
- Measured (`tests/benchmarks/bands/bands_hold.py`): of 200 boats remeasured at random the bands hold in 91 to 98 of 100, for
  eleven figures of each of three demo boats; `report --json --bands` takes 14 to 20 times the processor time of the report.
- A verdict with margins behind it (a length that is short, a lid over the water, a limit, how a space lies to the water, the flow
  path by which she is lost) is drawn from the spread of these; one without is counted in the boats remeasured. Would change: an
  evaluation that costs a tenth.
"""
