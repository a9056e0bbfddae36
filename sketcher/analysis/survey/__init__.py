"""Is a measurement wrong: a misread digit, a forgotten knuckle, a number nobody can judge?

Way in: `findings.check_hull`.

Decided, and what would change it:

- Predictions are linear in the numbers (not-a-knot splines across, a cubic through four stations along), noise and unfairness
  in one covariance, generalised least squares; a slip is called at 3.6 standard errors. The full loft is too slow to
  differentiate. Would change: many false alarms on real owners' tables.
- A number counts as judged when a 50 mm slip in it would be found 95 times in 100; all others are listed with the reason, and
  sound hulls raise no warning. Only the part of a slip square to the skin can be seen; distances measured besides tell the rest
  (`taped_lengths`), those along the skin by the shortest way over sections splined across and along.
- Demo hulls are sampled from hand-drawn lines with +-3 mm of noise, whole millimetres and irregular counts. Would change: a
  real table offered by an owner.
"""
