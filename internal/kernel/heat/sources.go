package heat

import "tengram/internal/kernel/source"

var (
	lavery2004 = source.Source{
		ID: "lavery-2004", Title: "Lavery et al., home monitoring of foot skin temperatures, Diabetes Care 27", Edition: "2004",
		Link: "https://pubmed.ncbi.nlm.nih.gov/15504999/",
	}
	iwgdfPrevention = source.Source{
		ID: "iwgdf-2023-prevention", Title: "IWGDF guidelines on the prevention of foot ulcers", Edition: "2023",
		Link: "https://doi.org/10.1002/dmrr.3651",
	}
	iwgdfCharcot = source.Source{
		ID: "iwgdf-2023-charcot", Title: "IWGDF guidelines on active Charcot foot, as reviewed by Rothenberg et al.", Edition: "2023",
		Link: "https://doi.org/10.25270/wnds/24029",
	}
	ours = source.Source{
		ID: "tengram-proposal", Title: "Our own proposal where the sources are silent", Edition: "1",
	}
)

var (
	srcLimit       = lavery2004.At("more than 4 degrees F (2.2 degrees C) between the same site of both feet", source.Confirmed)
	srcTwoDays     = iwgdfPrevention.At("more than 2.2 degrees C on two consecutive days: less walking, and a call", source.Memory)
	srcCharcot     = iwgdfCharcot.At("neuropathy with one foot warmer, swollen or red", source.Secondary)
	srcSupports    = iwgdfCharcot.At("a temperature difference supports active disease and does not exclude it", source.Secondary)
	srcOtherActive = iwgdfCharcot.At("other limb missing: compare upward from toe to knee", source.Memory)
	srcNoPartner   = ours.At("a spot without a partner is not compared, and not normal", source.Proposal)
	srcInfection   = ours.At("with an ulcer, infection and Charcot are both possible", source.Proposal)
)

// SourceOfLimit and SourceOfCharcot are where the two rules are read.
var (
	SourceOfLimit   = srcLimit
	SourceOfCharcot = srcCharcot
)
