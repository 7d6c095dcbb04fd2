"""How far the dimensions of a part may be from those of what it fits: common practice, no source."""

MM = 1e-3

BOLT = 0.3 * MM
"""A bolt and its hole or eye may differ by this either way [m]."""
SPLINE = 0.2 * MM
"""Outer diameters of splines that go into one another may differ by this either way [m]."""
BAR_LENGTH = 3.0 * MM
"""A bar between two fixings may be longer or shorter by this: the splines reach so far over their seats [m]."""
SEAT_PLAY = 2.0 * MM
"""A coil may be wider than the collar in it by up to this; never narrower [m]."""
CLAMP = 0.5 * MM
"""A clamp and what it holds may differ by this either way [m]."""
STUD_CIRCLE = 0.5 * MM
"""Circles of studs may differ by this either way [m]."""
BOLT_CIRCLE = 0.1 * MM
"""Circles of wheel bolts may differ by this either way [m]."""
SPIGOT_PLAY = 0.1 * MM
"""A wheel's bore may be wider than the hub's collar by this without a ring between them [m]."""
LEAF_PLAY = 2.0 * MM
"""Leaves may be narrower than the room between their clamps by up to this [m]."""
LEAF_TIGHT = 0.5 * MM
"""Leaves may be wider than what was measured between the clamps by this: clamps give way a little [m]."""
LEAF_HALF = 3.0 * MM
"""The front half of a leaf may be longer or shorter by this: the axle stands as much farther back or ahead [m]."""
LEAF_LENGTH = 6.0 * MM
"""A whole leaf may be longer or shorter by this: its shackle leans as much more [m]."""
CENTRE_BOLT_PLAY = 1.0 * MM
"""The head of a centre bolt may be smaller than its hole in the pad by up to this, never larger [m]."""
EYE_WIDTH = 1.0 * MM
"""A leaf's eye and the room between the shackle's plates may differ by this either way [m]."""
SLEEVE_PLAY = 1.0 * MM
"""A perch's sleeve may be wider than the damper's body by up to this [m]."""
ROD_PLAY = 0.3 * MM
"""A bearing may be wider than the stud in it by up to this [m]."""
STOP_TIGHT = 2.0 * MM
"""A bump stop's bore may be narrower than the rod by this: rubber stretches [m]."""
STOP_PLAY = 1.0 * MM
"""A bump stop's bore may be wider than the rod by this [m]."""
TUBE_CLEARANCE = 3.0 * MM
"""A bar in a tube has to be thinner than the tube's bore by this, 1.5 mm all round, so that it does not touch [m]."""
PRESS_FIT = 0.3 * MM
"""A bush may be wider than its housing by up to this, so that it sits tight [m]."""
BAR_BUSH = 0.5 * MM
"""The bore of an anti-roll bar's bush may be narrower than the bar by up to this, never wider [m]."""
BUSH = 0.3 * MM
"""Brackets take bushes for a bar that is thinner or thicker than their range by up to this [m]."""
ROD_REACH = 5.0 * MM
"""An adjustable rod may begin or end this far from the length as found: lowering changes the length it needs [m]."""
FLANGE = 3.0 * MM
"""A shim may be longer or shorter by this than the flange it lies under: it is bolted within the edge [m]."""
SPAN = 4.0 * MM
"""Links take up a bar that is wider or narrower by this [m]."""
