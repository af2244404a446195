package chemistry

// recalled is a classification known from memory only [CLP2008, annex VI].
func recalled(signal string, statements ...string) Hazard {
	return Hazard{Held: true, Signal: signal, Statements: statements, Source: "CLP2008", FromMemory: statements}
}

// unclassified is a substance that, from memory, bears no hazard statement.
func unclassified() Hazard { return Hazard{Held: true, Source: "CLP2008"} }

// Densities: of water [ITS90Water]; of spirit of wine from the international formula [OIML22]; of
// ether and glacial acetic acid [CRC95]. Those of acids and oils are left unknown here.
var substanceTable = [...]Substance{
	// Solvents.
	{Name: "water", Aliases: []string{"distilled water", "water, distilled", "aqua"}, CAS: "7732-18-5", Formula: "H2O",
		Liquid: true, Density: 0.99820, DensitySource: "ITS90Water", Hazard: unclassified(), roles: []role{water}},
	{Name: "alcohol", Aliases: []string{"alcohol 95 %", "ethanol 95 %", "alcohol 190 proof", "spirit of wine", "spirit"},
		CAS: "64-17-5", Formula: "C2H6O", Liquid: true, Density: 0.81138, DensitySource: "OIML22",
		Hazard: recalled(Danger, "H225", "H319"), Note: "ethanol of 95 % by volume", roles: []role{alcohol}},
	{Name: "alcohol 96 %", Aliases: []string{"ethanol 96 %"}, Formula: "C2H6O", Liquid: true, Density: 0.80742,
		DensitySource: "OIML22", Hazard: recalled(Danger, "H225", "H319"), Note: "ethanol of 96 % by volume", roles: []role{alcohol}},
	{Name: "absolute alcohol", Aliases: []string{"ethanol", "ethyl alcohol", "anhydrous alcohol"}, Formula: "C2H6O", Liquid: true,
		Density: 0.78924, DensitySource: "OIML22", Hazard: recalled(Danger, "H225", "H319"), roles: []role{alcohol}},
	{Name: "methanol", Aliases: []string{"methyl alcohol", "wood spirit"}, CAS: "67-56-1", Formula: "CH4O", Liquid: true,
		Hazard: recalled(Danger, "H225", "H301", "H311", "H331", "H370"), roles: []role{alcohol}},
	{Name: "ether", Aliases: []string{"diethyl ether", "sulphuric ether", "ethyl ether"}, CAS: "60-29-7", Formula: "C4H10O",
		Liquid: true, Density: 0.7138, DensitySource: "CRC95",
		Hazard: Hazard{Held: true, Signal: Danger, Statements: []string{"H224", "H302", "H336", "EUH019", "EUH066"},
			Source: "ICSC0355", Date: "2024-04", FromMemory: []string{"EUH019", "EUH066"}},
		roles: []role{ether}},

	// The film.
	{Name: "pyroxylin", Aliases: []string{"nitrocellulose", "gun cotton", "collodion cotton", "soluble cotton", "celloidin"},
		CAS: "9004-70-0", Hazard: recalled(Danger, "H201"), Note: "kept wetted with at least a quarter of alcohol; explosive if dried",
		roles: []role{cotton, organicSolid}},
	{Name: "plain collodion", Aliases: []string{"collodion usp", "collodion 5 %"}, Liquid: true,
		Hazard: recalled(Danger, "H224", "H302", "H336", "EUH019", "EUH066"),
		Note:   "about 4 g pyroxylin in 75 mL ether and 25 mL alcohol, from memory; the flexible sort with castor oil is another thing",
		roles:  []role{plain, ether, alcohol, cotton}},

	// Halides.
	{Name: "ammonium iodide", CAS: "12027-06-4", Formula: "NH4I", roles: []role{halide, ammonium}},
	{Name: "ammonium bromide", CAS: "12124-97-9", Formula: "NH4Br", Hazard: recalled(Warning, "H319"), roles: []role{halide, bromideSalt, ammonium}},
	{Name: "potassium iodide", CAS: "7681-11-0", Formula: "KI", Hazard: recalled(Danger, "H372"), roles: []role{halide, potassiumSalt}},
	{Name: "potassium bromide", CAS: "7758-02-3", Formula: "KBr", Hazard: recalled(Warning, "H319"), roles: []role{halide, potassiumSalt, bromideSalt}},
	{Name: "sodium iodide", CAS: "7681-82-5", Formula: "NaI", roles: []role{halide}},
	{Name: "sodium bromide", CAS: "7647-15-6", Formula: "NaBr", Hazard: recalled(Warning, "H319"), roles: []role{halide, bromideSalt}},
	{Name: "lithium iodide", CAS: "10377-51-2", Formula: "LiI", roles: []role{halide}},
	{Name: "lithium bromide", CAS: "7550-35-8", Formula: "LiBr", Hazard: recalled(Warning, "H319"), roles: []role{halide, bromideSalt}},
	{Name: "cadmium iodide", CAS: "7790-80-9", Formula: "CdI2",
		Hazard: recalled(Danger, "H301", "H331", "H350", "H373", "H410"), roles: []role{halide}},
	{Name: "cadmium bromide", Aliases: []string{"cadmium bromide, anhydrous", "anhydrous cadmium bromide"}, CAS: "7789-42-6", Formula: "CdBr2",
		Hazard: recalled(Danger, "H302", "H312", "H332", "H350", "H410"),
		Note:   "anhydrous; the hydrate holds a fifth less bromide by weight", roles: []role{halide, bromideSalt}},
	{Name: "cadmium bromide tetrahydrate", Aliases: []string{"cadmium bromide, crystals", "cadmium bromide 4-hydrate"}, CAS: "13464-92-1",
		Formula: "CdBr2.4H2O", Hazard: recalled(Danger, "H302", "H312", "H332", "H350", "H410"), roles: []role{halide, bromideSalt}},
	{Name: "zinc iodide", CAS: "10139-47-6", Formula: "ZnI2", roles: []role{halide}},
	{Name: "zinc bromide", CAS: "7699-45-8", Formula: "ZnBr2", roles: []role{halide, bromideSalt}},
	{Name: "copper bromide", Aliases: []string{"cupric bromide", "bromide of copper"}, CAS: "7789-45-9", Formula: "CuBr2", roles: []role{halide, bromideSalt}},
	{Name: "sodium chloride", Aliases: []string{"salt", "common salt"}, CAS: "7647-14-5", Formula: "NaCl", Hazard: unclassified(), roles: []role{halide}},

	// Silver, and what corrects a bath.
	{Name: "silver nitrate", Aliases: []string{"nitrate of silver"}, CAS: "7761-88-8", Formula: "AgNO3",
		Hazard: Hazard{Held: true, Signal: Danger, Statements: []string{"H272", "H314", "H400", "H410"}, Source: "CLH2023", Date: "2023-09"},
		Note:   "a stricter classification was proposed in 2023; its outcome is not held here", roles: []role{silver, oxidiser, nitrate}},
	{Name: "nitric acid", Aliases: []string{"aqua fortis"}, CAS: "7697-37-2", Formula: "HNO3", Liquid: true,
		Hazard: recalled(Danger, "H272", "H290", "H314", "H331", "EUH071"), roles: []role{acid, mineralAcid, nitric, oxidiser}},
	{Name: "sodium bicarbonate", Aliases: []string{"sodium hydrogen carbonate", "baking soda"}, CAS: "144-55-8", Formula: "NaHCO3",
		Hazard: unclassified(), roles: []role{alkali}},
	{Name: "ammonia solution", Aliases: []string{"ammonia", "ammonium hydroxide", "liquor ammoniae"}, CAS: "1336-21-6", Formula: "NH3", Liquid: true,
		Hazard: recalled(Danger, "H314", "H335", "H400"), roles: []role{ammonia, alkali}},

	// Developers.
	{Name: "ferrous sulphate", Aliases: []string{"ferrous sulphate heptahydrate", "iron sulphate", "green vitriol", "protosulphate of iron", "iron"},
		CAS: "7782-63-0", Formula: "FeSO4.7H2O", Hazard: recalled(Warning, "H302", "H315", "H319"), Note: "the green crystals, with seven waters", roles: []role{iron}},
	{Name: "ferrous ammonium sulphate", Aliases: []string{"ammonium iron sulphate", "double sulphate of iron and ammonia"}, CAS: "7783-85-9",
		Formula: "Fe(NH4)2(SO4)2.6H2O", roles: []role{iron, ammonium}},
	{Name: "acetic acid", Aliases: []string{"glacial acetic acid", "acetic acid, glacial"}, CAS: "64-19-7", Formula: "C2H4O2", Liquid: true,
		Density: 1.0446, DensitySource: "CRC95", Hazard: recalled(Danger, "H226", "H314"),
		Note: "glacial; the density is that of 25 °C", roles: []role{acid}},
	{Name: "citric acid", CAS: "77-92-9", Formula: "C6H8O7", Hazard: recalled(Warning, "H319"), roles: []role{acid}},
	{Name: "sulphuric acid", Aliases: []string{"oil of vitriol"}, CAS: "7664-93-9", Formula: "H2SO4", Liquid: true,
		Hazard: recalled(Danger, "H290", "H314"), roles: []role{acid, mineralAcid, sulphuric}},
	{Name: "hydrochloric acid", Aliases: []string{"muriatic acid"}, CAS: "7647-01-0", Formula: "HCl", Liquid: true,
		Hazard: recalled(Danger, "H290", "H314", "H335"), roles: []role{acid, mineralAcid, hydrochloric}},
	{Name: "potassium nitrate", Aliases: []string{"saltpetre", "nitre"}, CAS: "7757-79-1", Formula: "KNO3",
		Hazard: recalled(Warning, "H272"), roles: []role{oxidiser, nitrate}},
	{Name: "copper sulphate", Aliases: []string{"copper sulphate pentahydrate", "blue vitriol"}, CAS: "7758-99-8", Formula: "CuSO4.5H2O",
		Hazard: recalled(Danger, "H302", "H318", "H410")},
	{Name: "tannin", Aliases: []string{"tannic acid"}, CAS: "1401-55-4", roles: []role{organicSolid}},
	{Name: "sugar", Aliases: []string{"sucrose", "cane sugar"}, CAS: "57-50-1", Formula: "C12H22O11", Hazard: unclassified(), roles: []role{organicSolid}},

	// Fixers.
	{Name: "hypo", Aliases: []string{"sodium thiosulphate", "sodium thiosulphate pentahydrate", "hyposulphite of soda"}, CAS: "10102-17-7",
		Formula: "Na2S2O3.5H2O", Hazard: unclassified(), Note: "the crystals, with five waters", roles: []role{hypo}},
	{Name: "hypo, anhydrous", Aliases: []string{"sodium thiosulphate, anhydrous"}, CAS: "7772-98-7", Formula: "Na2S2O3",
		Hazard: unclassified(), roles: []role{hypo}},
	{Name: "potassium cyanide", Aliases: []string{"cyanide", "cyanide of potassium"}, CAS: "151-50-8", Formula: "KCN",
		Hazard: recalled(Danger, "H300", "H310", "H330", "H372", "H410", "EUH032"), roles: []role{cyanide}},
	{Name: "sodium cyanide", CAS: "143-33-9", Formula: "NaCN",
		Hazard: recalled(Danger, "H300", "H310", "H330", "H372", "H410", "EUH032"), roles: []role{cyanide}},

	// Varnishes.
	{Name: "sandarac", Aliases: []string{"gum sandarac"}, CAS: "9000-57-1", roles: []role{resin, organicSolid}},
	{Name: "shellac", Aliases: []string{"dewaxed shellac", "bleached shellac"}, CAS: "9000-59-3", roles: []role{resin, organicSolid}},
	{Name: "lavender oil", Aliases: []string{"oil of lavender"}, CAS: "8000-28-0", Liquid: true,
		Hazard: recalled(Danger, "H304", "H317", "H319", "H412"), roles: []role{oil}},
	{Name: "castor oil", CAS: "8001-79-4", Liquid: true, roles: []role{oil}},
	{Name: "borax", Aliases: []string{"sodium tetraborate"}, CAS: "1303-96-4", Formula: "Na2B4O7.10H2O",
		Hazard: recalled(Danger, "H319", "H360"), roles: []role{alkali}},

	// Known so that they can be refused in the company they must not keep.
	{Name: "bleach", Aliases: []string{"sodium hypochlorite", "sodium hypochlorite solution"}, CAS: "7681-52-9", Liquid: true,
		Hazard: recalled(Danger, "H290", "H314", "H410", "EUH031"), roles: []role{bleach, oxidiser}},
	{Name: "hydrogen peroxide", Aliases: []string{"peroxide"}, CAS: "7722-84-1", Formula: "H2O2", Liquid: true,
		Hazard: recalled(Danger, "H271", "H302", "H314", "H332"), roles: []role{peroxide, oxidiser}},
	{Name: "potassium chlorate", CAS: "3811-04-9", Formula: "KClO3", Hazard: recalled(Danger, "H271", "H302", "H332", "H411"), roles: []role{chlorate, oxidiser}},
	{Name: "sodium nitrite", CAS: "7632-00-0", Formula: "NaNO2", Hazard: recalled(Danger, "H272", "H301", "H400"), roles: []role{nitrite, oxidiser}},
	{Name: "charcoal", CAS: "7440-44-0", Formula: "C", roles: []role{organicSolid}},
}
