package calc

// heatCalculators lists the calculators of this room.
func heatCalculators() []Calculator { return nil }
