"""What is inside a closed mesh, and what is left of it when others are cut away?

Way in: `clip.clip` under a plane, `section.section` on it, `boolean` for the solid kernel.
"""
