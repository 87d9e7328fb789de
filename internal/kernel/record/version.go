package record

import (
	"strconv"
	"time"
)

// Version tells which of two states of one resource is the newer, as its source
// says. The zero value is not told.
type Version struct {
	// Updated is when the source last changed the resource, in nanoseconds
	// since 1970 UTC; 0 is not told.
	Updated int64
	// Number is one more than the source's own number of the state; 0 is not
	// told, or no whole number.
	Number int64
}

// VersionOf reads meta.lastUpdated and meta.versionId of a FHIR R4 resource.
// What is no instant with an offset from 1678 to 2261, or no whole number of 18
// digits at most, is as if it were not there.
func VersionOf(lastUpdated, versionID string) (v Version) {
	if t, err := time.Parse(time.RFC3339Nano, lastUpdated); err == nil && t.Year() >= 1678 && t.Year() <= 2261 {
		v.Updated = t.UnixNano()
	}
	if n, err := strconv.ParseUint(versionID, 10, 64); err == nil && len(versionID) <= 18 {
		v.Number = int64(n) + 1
	}
	return v
}

// Before reports that v is an older state than o: by the instants where both
// tell one, else by the numbers where both tell one. Where neither decides,
// neither is before the other.
func (v Version) Before(o Version) bool {
	if v.Updated != 0 && o.Updated != 0 && v.Updated != o.Updated {
		return v.Updated < o.Updated
	}
	return v.Number != 0 && o.Number != 0 && v.Number < o.Number
}
