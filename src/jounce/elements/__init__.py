"""Springs, bars, dampers, stops and tyres: what each stores and pushes for its own displacement, without knowing a car.

- `law`: energy, force and stiffness as functions of one displacement; everything below ends in such a law
- `torsion_bar`, `coil`, `roll_bar`: steel that twists and bends, from its dimensions
- `coil_spring`, `coil_stack`, `curve_stack`, `stepped`, `progressive`: coil springs of any law, alone and one on the other
- `bent_bar`, `bent_bar_stress`, `centre_line`, `round_section`, `blade`, `slack`: an anti-roll bar of any shape, its play
- `bar_in_series`, `levered_bar`: a torsion bar with what gives behind it, and under an arm alone
- `bump_stop`, `stop_shapes`: rubber that ends a travel, from measured rows or by a few numbers
- `force_velocity`, `damper_knee`, `damper_clicks`, `gas`, `bench_rows`: oil and gas, from tests or slopes
- `tyre`, `tyre_lateral`, `shared_slip`: the tyre as a vertical spring, and its lateral force by load and slip
- `materials`: moduli and permissible stresses of spring steels, a source beside each number
- `limits`: what is refused as physically impossible

Fields and displacements are single values or arrays that broadcast, one value per state or per variant of a part.
"""
