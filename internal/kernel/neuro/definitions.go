package neuro

import "slices"

// definitions stand in the order in which they are shown.
var definitions = []Definition{
	defIWGDF2023, defADA2008, defADA2024, defArmstrong1998, defMedicare, defIpswich2011,
}

// Definitions lists the published definitions of LOPS.
func Definitions() []Definition { return slices.Clone(definitions) }

// ByID returns the definition of an id such as "lops-iwgdf-2023".
func ByID(id string) (Definition, bool) {
	for i := range definitions {
		if definitions[i].ID == id {
			return definitions[i], true
		}
	}
	return Definition{}, false
}
