package exam

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

func siteAt(i int) neuro.Site { return neuro.Site(i) }

// numbers checks every measurement against the range in which it can be true.
// The ranges catch slips of unit and typing; they are common practice, no
// source, and wide on purpose.
func (c *checker) numbers(d *Draft) {
	c.whole("arms.right", d.Arms.Right, 40, 300, "mmHg")
	c.whole("arms.left", d.Arms.Left, 40, 300, "mmHg")
	v := d.Vitals
	c.tenths("vitals.temperature-c", v.TemperatureC, 300, 450, "degrees Celsius")
	c.whole("vitals.heart-rate", v.HeartRate, 20, 250, "beats a minute")
	c.whole("vitals.respiratory-rate", v.RespiratoryRate, 4, 70, "breaths a minute")
	c.tenths("vitals.white-cells", v.WhiteCells, 0, 2000, "10^9 per litre")
	c.tenths("vitals.immature-cells-percent", v.ImmatureCells, 0, 1000, "per cent")
	c.whole("vitals.paco2-mmhg", v.PaCO2, 5, 150, "mmHg")
	c.tenths("ask.a1c-percent", d.Ask.A1c, 30, 250, "per cent (NGSP); a value in mmol/mol must be converted first")
	for _, side := range foot.Sides {
		f, name := d.Foot(side), side.String()
		a := f.Feel.Arteries
		c.whole(name+".feel.arteries.ankle-dp", a.AnkleDP, 0, 400, "mmHg")
		c.whole(name+".feel.arteries.ankle-pt", a.AnklePT, 0, 400, "mmHg")
		c.whole(name+".feel.arteries.toe-pressure", a.ToePressure, 0, 300, "mmHg")
		c.whole(name+".feel.arteries.tcpo2", a.TcPO2, 0, 150, "mmHg")
		c.tenths(name+".test.vpt-volts", f.Test.VPT, 0, 600, "volts")
		c.temperatures(name, f.Feel.Temperatures, d.TemperatureUnit)
		c.whole(name+".look.infection.erythema-mm", f.Look.Infection.ErythemaMM, 0, 500, "millimetres")
	}
}

func (c *checker) temperatures(side string, ts heat.Temperatures, unit heat.Unit) {
	if ts.IsZero() {
		return
	}
	low, high, words := 150, 450, "degrees Celsius"
	switch unit {
	case heat.UnitUnknown:
		c.block("temperature-unit", "skin temperatures are recorded without their unit")
		return
	case heat.Fahrenheit:
		low, high, words = 590, 1130, "degrees Fahrenheit"
	}
	for s, t := range ts {
		c.tenths(side+".feel.temperatures."+heat.Spot(s).String(), t, low, high, words)
	}
}

func (c *checker) whole(field string, r known.Reading, low, high int, unit string) {
	if r.Known() && (r.Value < low || r.Value > high) {
		c.block(field, "%d is not between %d and %d %s", r.Value, low, high, unit)
	}
}

func (c *checker) tenths(field string, t known.Tenths, low, high int, unit string) {
	if t.Known() && (t.Value < low || t.Value > high) {
		c.block(field, "%v is not between %v and %v %s", t, known.TenthsOf(low), known.TenthsOf(high), unit)
	}
}
