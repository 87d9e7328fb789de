package web

func lookBlock() block {
	return block{
		id: "look", title: "Look",
		hint:   "Shoes and socks off. Soles, heels and between the toes.",
		normal: "Record both feet whole and normal to look at",
		groups: []group{
			{id: "look-foot", title: "Each foot", paired: true, fields: []field{
				{path: side + ".loss.level", label: "Is the foot whole?", as: pick, main: lossLevels},
				{path: side + ".loss.toes", label: "Toes lost", as: several, main: toeNumbers},
				{path: side + ".loss.rays", label: "Toes lost with their metatarsal head", as: several, main: toeNumbers},
				looked(side+".look.skin", "Skin", "Normal", "Not normal", "Colour, thickness, moisture, webs"),
				{path: side + ".look.lesions", label: "Skin findings", as: lesions},
				looked(side+".look.wound", "Wound", "None", "Open", "An open ulcer or a break of the skin"),
				{path: side + ".look.gangrene", label: "Gangrene", as: choose,
					main: []option{{"none", "None", plain}, {"toe", "Toe", notable}},
					more: []option{{"forefoot", "Forefoot", notable}, {"whole-foot", "Whole foot", notable}, notRecorded}},
				hoped(side+".look.redness", "Redness", "Beyond the edge of a wound, or without one"),
				looked(side+".look.nails", "Nails", "Normal", "Not normal", ""),
				{path: side + ".look.nail-kinds", label: "Which nail findings", as: several, main: nailKinds},
				looked(side+".look.shape", "Shape", "Normal", "Deformity", ""),
				{path: side + ".look.deformities", label: "Which deformities", as: several, main: deformities},
				looked(side+".look.mobility", "Ankle and great toe joint", "Free", "Limited", ""),
				looked(side+".look.muscle-wasting", "Muscle wasting", "None", "Present", ""),
			}},
			{id: "infection", title: "Infection without an ulcer", paired: true, folded: true,
				fields: infectionFields(side + ".look.infection")},
			{id: "footwear", title: "Shoes and socks", fields: []field{
				looked("footwear.suitable", "Shoes suit foot and risk", "Suitable", "Not suitable", "Shape, fit, wear"),
			}},
			{id: "footwear-detail", title: "Shoes in detail", folded: true, fields: []field{
				wanted("footwear.sized", "Feet were measured", ""),
				hoped("footwear.too-tight", "Too tight", ""),
				hoped("footwear.worn-out", "Worn out", ""),
				hoped("footwear.foreign-body", "Something inside the shoe", ""),
				{path: "footwear.prescribed", label: "Wears prescribed footwear", as: choose, more: cannotAnswer,
					main: []option{{"no", "No", plain}, {"yes", "Yes", plain}}},
			}},
		},
	}
}

// infectionFields are the local signs of infection under a path.
func infectionFields(path string) []field {
	return []field{
		hoped(path+".swelling", "Swelling or hardness", ""),
		measured(path+".erythema-mm", "Redness from the edge", "mm", "0 is looked for and none"),
		hoped(path+".tenderness", "Tenderness or pain", ""),
		hoped(path+".warmth", "Warmth", ""),
		hoped(path+".pus", "Pus", ""),
		hoped(path+".deep", "Deep", "Abscess, joint, fascia, muscle or tendon"),
		hoped(path+".bone", "Bone", "Osteomyelitis suspected or shown"),
		hoped(path+".spreading", "Moving up the foot or leg", ""),
		hoped(path+".crepitus", "Gas in the tissue", ""),
	}
}

var lossLevels = []option{
	{"", "Not recorded", apart}, {"whole", "Whole", plain}, {"toes", "Toes or rays lost", notable},
	{"transmetatarsal", "Lost through the metatarsals", notable}, {"midfoot", "Lost at the midfoot", notable},
	{"hindfoot", "Lost at the hindfoot", notable}, {"ankle", "Lost at the ankle", notable},
	{"below-knee", "Lost below the knee", notable}, {"through-knee", "Lost through the knee", notable},
	{"above-knee", "Lost above the knee", notable}, {"hip", "Lost at the hip", notable},
}

var toeNumbers = []option{
	{"1", "1 great", notable}, {"2", "2", notable}, {"3", "3", notable}, {"4", "4", notable}, {"5", "5 little", notable},
}

var nailKinds = []option{
	{"thick", "Thick", notable}, {"ingrown", "Ingrown", notable}, {"fungal", "Fungal", notable},
	{"long", "Long or sharp", notable}, {"bleeding-under-nail", "Blood under nail", notable},
}

var deformities = []option{
	{"hallux-valgus", "Bunion (hallux valgus)", notable}, {"hammer-toe", "Hammer toe", notable},
	{"claw-toe", "Claw toe", notable}, {"mallet-toe", "Mallet toe", notable},
	{"overlapping-toe", "Overlapping toe", notable}, {"prominent-metatarsal-head", "Prominent metatarsal head", notable},
	{"flat-foot", "Flat foot", notable}, {"high-arch", "High arch", notable},
	{"charcot-shape", "Charcot shape", notable}, {"foot-drop", "Foot drop", notable},
	{"equinus", "Tight calf (equinus)", notable}, {"hallux-rigidus", "Stiff great toe", notable},
	{"other", "Other", notable},
}

var lesionKinds = []option{
	{"", "which finding", apart}, {"callus", "Callus", notable}, {"corn", "Corn", notable},
	{"blister", "Blister", notable}, {"bleeding-under-callus", "Bleeding under callus", notable},
	{"fissure", "Fissure", notable}, {"maceration", "Maceration", notable}, {"fungus", "Fungus", notable},
	{"dry-skin", "Dry skin", notable}, {"red-spot", "Red spot", notable},
	{"colour-change", "Change of colour", notable}, {"other", "Other", notable},
}
