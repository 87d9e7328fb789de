package risk

import "tengram/internal/kernel/known"

// UnmarshalText reads the stable word of the factor: an assessment is kept as
// JSON and read again, with the factors that would settle it.
func (f *Factor) UnmarshalText(b []byte) error {
	i, err := known.Index(factorNames[:], b, "risk factor")
	*f = Factor(i)
	return err
}
