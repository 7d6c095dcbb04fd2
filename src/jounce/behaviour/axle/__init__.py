"""What one axle does: kinematics on the rig, how it stands, loads, compliance."""
