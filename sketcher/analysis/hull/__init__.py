"""What surface do the measured stations make, inside and outside?

Way in: `form.form_hull`.
"""
