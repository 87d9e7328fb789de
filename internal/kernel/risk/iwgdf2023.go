package risk

import "tengram/internal/kernel/source"

// iwgdf2023Doc: Bus SA et al., Diabetes Metab Res Rev 2024;40(3):e3651. The
// table itself was read only in later restatements.
var iwgdf2023Doc = source.Source{
	ID: "iwgdf-2023-prevention", Title: "IWGDF guidelines on the prevention of foot ulcers in persons with diabetes",
	Edition: "2023", Link: "https://doi.org/10.1002/dmrr.3651",
}

// iwgdf2023 is the edition in force. Its four categories are those of 2019
// (second hand: later restatements agree, one of them naming the 2023 edition).
func iwgdf2023() System {
	return iwgdf("iwgdf-2023", "IWGDF 2023", iwgdf2023Doc.At("risk stratification table", source.Secondary))
}
