package web

import "tengram/internal/kernel/foot"

func testBlock() block {
	return block{
		id: "test", title: "Test",
		hint:   "Show the 10 g monofilament on the hand first. Eyes closed. Not on callus.",
		normal: "Record everything felt on both feet",
		groups: []group{
			{id: "protocol", title: "Monofilament protocol", fields: []field{
				{path: "protocol", label: "Sites to test", as: choose,
					main: []option{{"three-sites", "3 sites", plain}, {"four-sites", "4 sites", plain}, {"five-sites", "5 sites", plain}, {"ten-sites", "10 sites", plain}},
					more: []option{notRecorded}},
			}},
			{id: "filament", title: "Monofilament, 10 g", paired: true, fields: filamentFields()},
			{id: "nerves", title: "One more test at least", paired: true, fields: []field{
				looked(side+".test.vibration", "Vibration, 128 Hz, great toe", "Felt", "Not felt", ""),
				looked(side+".test.pinprick", "Pinprick, great toe", "Sharp", "Not sharp", ""),
				looked(side+".test.warm-cold", "Warm from cold", "Told apart", "Not told", ""),
				{path: side + ".test.ankle-reflex", label: "Ankle reflex", as: choose,
					main: []option{{"present", "Present", plain}, {"absent", "Absent", notable}},
					more: []option{{"with-reinforcement", "With reinforcement", plain}, {"not-possible", "Not possible today", apart},
						{"refused", "Declined", apart}, notRecorded}},
			}},
			{id: "touch", title: "Light touch at the toe tips", paired: true, folded: true, fields: []field{
				felt(side+".test.touch.toe1", "Great toe", foot.Hallux),
				felt(side+".test.touch.toe3", "Third toe", foot.Toe3),
				felt(side+".test.touch.toe5", "Little toe", foot.Toe5),
				measured(side+".test.vpt-volts", "Vibration threshold", "volts", ""),
			}},
		},
	}
}
