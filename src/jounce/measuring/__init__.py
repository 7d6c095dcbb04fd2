"""A car measured with tape, scales and calliper.

- `item`: a number to measure
- `named_points`: points near a tyre, low points, hoses and joints by name
- `walk`: what is measured, in the order of a walk round the car
- `known`: what the car's document says of each of it, and whether it was measured or is assumed
- `writing`: how what was typed comes into the document
- `copying`: another car's document as a beginning, all of it assumed
"""
