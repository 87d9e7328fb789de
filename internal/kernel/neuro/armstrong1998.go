package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

const (
	idArmstrong1998   = "lops-armstrong-1998"
	nameArmstrong1998 = "Armstrong 1998: four or more of ten sites"
	cutArmstrong1998  = 4
)

var srcArmstrong1998 = source.Armstrong1998Screening.At("four or more of ten sites not felt", source.Confirmed)

// defArmstrong1998: the monofilament at ten sites a foot, LOPS from four sites
// not felt on one foot. The list of the ten sites is common practice.
var defArmstrong1998 = Definition{ID: idArmstrong1998, Name: nameArmstrong1998, Source: srcArmstrong1998, Judge: judgeArmstrong1998}

func judgeArmstrong1998(t Tests) Result {
	v := newVerdict(&t, idArmstrong1998, nameArmstrong1998)
	v.rule("Four or more insensate sites of ten on a foot mean loss of protective sensation.", srcArmstrong1998)
	return v.byCutOff(TenSites.Sites(), cutArmstrong1998)
}

// byCutOff judges each foot by a number of insensate sites.
func (v *verdict) byCutOff(sites []Site, k int) Result {
	v.plan()
	for _, side := range foot.Sides {
		f := &v.Feet[side]
		if f.Gone {
			continue
		}
		if f.LOPS = v.filament(side, sites, k); f.LOPS == known.Unknown {
			v.openSites(side, sites)
		}
	}
	return v.close(len(sites))
}
