package perfusion

import "tengram/internal/kernel/source"

// Scale is one body's bands of one measure. Bodies differ, so a band is always
// shown with the name of its scale.
type Scale struct {
	// ID is stable, such as "acc-2024".
	ID string
	// Name says whose bands they are and of what.
	Name   string
	Source *source.Source
	// steps are the bands from low to high; each holds up to and with its top.
	steps []step
}

type step struct {
	top  int
	band string
}

// above is the top of the highest band.
const above = 1 << 30

// Band names the band of a value, in the unit of the scale: hundredths for an
// index, mmHg for a pressure. Edges are inclusive as the source has them.
func (s Scale) Band(v int) string {
	for _, st := range s.steps {
		if v <= st.top {
			return st.band
		}
	}
	return ""
}

// The scales of the ankle-brachial index, in hundredths.
var (
	// ACC2024: 0.90 or less abnormal, 0.91-0.99 borderline, 1.00-1.40 normal,
	// above noncompressible. AHA/ACC 2016 (confirmed) has the same bands.
	ACC2024 = Scale{"acc-2024", "ABI, AHA/ACC 2016 and ACC/AHA 2024", source.ACCAHA2024PAD.At("ABI bands, the same as in 2016", source.Secondary), []step{
		{90, "abnormal"}, {99, "borderline"}, {140, "normal"}, {above, "noncompressible"},
	}}
	// ACC2005 splits the abnormal band; 2016 and 2024 give no such split.
	ACC2005 = Scale{"acc-2005", "ABI, older severity split", source.ACCAHA2005PAD.At("ABI 0.41-0.90 mild to moderate, 0.40 or less severe", source.Secondary), []step{
		{40, "severe"}, {90, "mild to moderate"}, {above, "not in the abnormal band"},
	}}
	// IDSA2012: below 0.40 severe, 0.40-0.59 moderate, 0.60-0.89 mild,
	// 0.90-1.30 normal, above poorly compressible.
	IDSA2012 = Scale{"idsa-2012", "ABI, IDSA 2012", source.IDSA2012Infection.At("table 1", source.Secondary), []step{
		{39, "severe"}, {59, "moderate"}, {89, "mild"}, {130, "normal"}, {above, "poorly compressible"},
	}}
	// IWGDF2023 is the range in which PAD is less likely in diabetes; 2015
	// (second hand) has the same.
	IWGDF2023 = Scale{"iwgdf-2023", "ABI, IWGDF 2023", source.IWGDF2023PAD.At("PAD less likely at ABI 0.9 to 1.3", source.Memory), []step{
		{89, "below the range"}, {130, "PAD less likely"}, {above, "above the range: toe pressure needed"},
	}}
)

// The scales of the toe-brachial index, in hundredths. At exactly 0.70 they
// disagree.
var (
	TBI2016 = Scale{"tbi-acc-2016", "TBI, AHA/ACC 2016", srcTBILow, []step{
		{70, "abnormal"}, {above, "normal"},
	}}
	TBI2015 = Scale{"tbi-iwgdf-2015", "TBI, IWGDF 2015", source.IWGDF2015PAD.At("PAD less likely at TBI 0.75 or more", source.Secondary), []step{
		{74, "below the range"}, {above, "PAD less likely"},
	}}
	TBI2019 = Scale{"tbi-iwgdf-2019", "TBI, IWGDF 2019", source.IWGDF2019PAD.At("PAD less likely at TBI 0.75 or more", source.Memory), []step{
		{74, "below the range"}, {above, "PAD less likely"},
	}}
	TBI2023 = Scale{"tbi-iwgdf-2023", "TBI, IWGDF 2023", source.IWGDF2023PAD.At("PAD less likely at TBI 0.70 or more", source.Memory), []step{
		{69, "below the range"}, {above, "PAD less likely"},
	}}
)

// The scales of toe pressure and TcPO2, mmHg, for a foot with an ulcer.
var (
	Toe2019 = Scale{"toe-iwgdf-2019", "toe pressure, IWGDF 2019", srcCritical2019, []step{
		{29, "urgent vascular assessment"}, {above, "healing more likely"},
	}}
	Toe2023 = Scale{"toe-iwgdf-2023", "toe pressure, IWGDF 2023", srcCritical2023, []step{
		{29, "urgent vascular assessment"}, {above, "healing more likely"},
	}}
	TcPO2Of2019 = Scale{"tcpo2-iwgdf-2019", "TcPO2, IWGDF 2019", srcCritical2019, []step{
		{24, "urgent vascular assessment"}, {above, "healing more likely"},
	}}
	// TcPO2Of2023 has a gap: urgent below 30 (second hand), healing more
	// likely from 25 (from memory); the urgent reading stands between.
	TcPO2Of2023 = Scale{"tcpo2-iwgdf-2023", "TcPO2, IWGDF 2023", srcCritical2023, []step{
		{29, "urgent vascular assessment"}, {above, "healing more likely"},
	}}
)

// ABIScales lists the scales of the ankle-brachial index.
func ABIScales() []Scale { return []Scale{ACC2024, ACC2005, IDSA2012, IWGDF2023} }

// TBIScales lists the scales of the toe-brachial index.
func TBIScales() []Scale { return []Scale{TBI2016, TBI2015, TBI2019, TBI2023} }

// ToeScales lists the scales of toe pressure.
func ToeScales() []Scale { return []Scale{Toe2019, Toe2023} }

// TcPO2Scales lists the scales of TcPO2.
func TcPO2Scales() []Scale { return []Scale{TcPO2Of2019, TcPO2Of2023} }
