"""What the car does: travel, as it sits, corner, brake, ride.

- `motions`: how an axle on the stand is driven (heave, roll, one wheel, steer), and the two wheels' own motions
- `travel`: every geometric quantity along a motion; `results`: how each of them is taken; `context`: what an axle's
  results need to know of the rest of the car
- `contact`: wheel loads, wheel rates and roll stiffness of an axle by virtual work
- `preload`: main-spring preloads from corner weights
- `reach`: how far a wheel can go and what stops it
- `road.static_car`: the car at rest on its four tyres
"""
