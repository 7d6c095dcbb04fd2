"""Springs, bars, dampers, stops and tyres: what each stores and pushes for its own displacement, without knowing a car.

- `law`: energy, force and stiffness as functions of one displacement; everything below ends in such a law
- `torsion_bar`, `coil`, `roll_bar`: steel that twists and bends, from its dimensions
- `bump_stop`, `damper`, `tyre`: rubber, oil and air, from measured curves and rates
- `materials`: moduli and permissible stresses of spring steels, a source beside each number
- `limits`: what is refused as physically impossible

Fields and displacements are single values or arrays that broadcast, one value per state or per variant of a part.
"""
