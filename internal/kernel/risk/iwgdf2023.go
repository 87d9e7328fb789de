package risk

import "tengram/internal/kernel/source"

// iwgdf2023 is the edition in force. Its four categories are those of 2019
// (second hand: later restatements agree, one of them naming the 2023 edition).
func iwgdf2023() System {
	return iwgdf("iwgdf-2023", "IWGDF 2023", source.IWGDF2023Prevention.At("risk stratification table", source.Secondary))
}
