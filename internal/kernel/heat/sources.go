package heat

import "tengram/internal/kernel/source"

// The places that the rules of warmth are read at.
var (
	srcLimit       = source.Lavery2004Temperature.At("more than 4 degrees F (2.2 degrees C) between the same site of both feet", source.Confirmed)
	srcTwoDays     = source.IWGDF2023Prevention.At("more than 2.2 degrees C on two consecutive days: less walking, and a call", source.Memory)
	srcCharcot     = source.IWGDF2023Charcot.At("neuropathy with one foot warmer, swollen or red", source.Secondary)
	srcSupports    = source.IWGDF2023Charcot.At("a temperature difference supports active disease and does not exclude it", source.Secondary)
	srcOtherActive = source.IWGDF2023Charcot.At("other limb missing: compare upward from toe to knee", source.Memory)
	srcNoPartner   = source.OurProposal.At("a spot without a partner is not compared, and not normal", source.Proposal)
	srcInfection   = source.OurProposal.At("with an ulcer, infection and Charcot are both possible", source.Proposal)
)

// SourceOfLimit and SourceOfCharcot are where the two rules are read.
var (
	SourceOfLimit   = srcLimit
	SourceOfCharcot = srcCharcot
)
