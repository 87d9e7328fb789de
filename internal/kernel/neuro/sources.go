package neuro

import "tengram/internal/kernel/source"

// partialFoot is our rule for places lost to amputation: no source says how to
// score a site that is not there.
var partialFoot = source.OurProposal.At("missing toes and partial feet: a lost site is absent and not failed", source.Proposal)
