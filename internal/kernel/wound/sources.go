package wound

import "tengram/internal/kernel/source"

// own is a rule of ours that fills a gap between the published words.
func own(place string) *source.Source { return source.OurProposal.At(place, source.Proposal) }
