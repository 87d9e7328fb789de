package web

func feelBlock() block {
	return block{
		id: "feel", title: "Feel",
		hint:   "Pulses, warmth, swelling.",
		normal: "Record both feet normal to feel, all pulses present",
		groups: []group{
			{id: "pulses", title: "Each foot", paired: true, fields: []field{
				pulse(side+".feel.arteries.dorsalis-pedis", "Dorsalis pedis pulse"),
				pulse(side+".feel.arteries.posterior-tibial", "Posterior tibial pulse"),
				looked(side+".feel.arteries.capillary-refill", "Capillary refill", "Under 3 s", "Slow", ""),
				looked(side+".feel.arteries.posture-colour", "Pale when raised, red when hanging", "No", "Yes", ""),
				looked(side+".feel.oedema", "Oedema", "None", "Present", ""),
				hoped(side+".feel.warm", "Clearly warmer than the other foot", ""),
				hoped(side+".feel.swollen", "Clearly more swollen than the other foot", ""),
				hoped(side+".feel.suddenly-cold", "Suddenly cold, pale, painful or numb", "Since hours or days"),
			}},
			{id: "pressures", title: "Pressures and Doppler", paired: true, folded: true,
				hint: "Where pulses or symptoms ask for them.", fields: []field{
					measured("arms."+side, "Arm pressure, same side", "mmHg", ""),
					measured(side+".feel.arteries.ankle-dp", "Ankle, dorsalis pedis", "mmHg", ""),
					measured(side+".feel.arteries.ankle-pt", "Ankle, posterior tibial", "mmHg", ""),
					measured(side+".feel.arteries.toe-pressure", "Toe pressure", "mmHg", ""),
					{path: side + ".feel.arteries.toe-used", label: "Toe measured", as: pick,
						main: []option{{"", "Great toe", plain}, {"1", "Toe 1", plain}, {"2", "Toe 2", plain}, {"3", "Toe 3", plain}, {"4", "Toe 4", plain}, {"5", "Toe 5", plain}}},
					measured(side+".feel.arteries.tcpo2", "TcPO₂", "mmHg", ""),
					{path: side + ".feel.arteries.waveform", label: "Waveform", as: pick,
						main: []option{{"", "Not recorded", apart}, {"triphasic", "Triphasic", plain}, {"biphasic", "Biphasic", plain},
							{"monophasic", "Monophasic", notable}, {"absent", "Absent", notable}}},
				}},
			{id: "temperature-unit", title: "Skin temperatures", folded: true, fields: []field{
				{path: "temperature-unit", label: "Unit of the skin temperatures", as: choose,
					main: []option{{"F", "°F", plain}, {"C", "°C", plain}}, more: []option{notRecorded}},
			}},
			{id: "temperatures", title: "Skin temperature by place", paired: true, folded: true, fields: temperatureFields()},
		},
	}
}

func pulse(path, label string) field {
	return field{path: path, label: label, as: choose,
		main: []option{{"present", "Present", plain}, {"weak", "Weak", notable}, {"absent", "Absent", notable}},
		more: []option{{"doppler-only", "Heard with Doppler only", notable}, {"not-possible", "Not possible today", apart},
			{"refused", "Declined", apart}, notRecorded}}
}
