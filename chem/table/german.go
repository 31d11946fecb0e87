package table

import "strings"

// german are parts of German names and what they are in English, in the order in
// which they are looked for, as keys: the longer before what they hold. The trade's
// names; common practice, no source.
var german = func() *strings.Replacer {
	var list []string
	for _, x := range [][2]string{
		{"salzsäure", "hydrochloricacid"}, {"schwefelsäure", "sulfuricacid"}, {"salpetersäure", "nitricacid"},
		{"orthophosphorsäure", "phosphoricacid"}, {"phosphorsäure", "phosphoricacid"}, {"perchlorsäure", "perchloricacid"},
		{"trifluoressigsäure", "trifluoroaceticacid"}, {"eisessig", "aceticacid"}, {"essigsäure", "aceticacid"},
		{"ameisensäure", "formicacid"}, {"citronensäure", "citricacid"}, {"zitronensäure", "citricacid"},
		{"bernsteinsäure", "succinicacid"}, {"borsäure", "boricacid"}, {"weinsäure", "tartaricacid"},
		{"oxalsäure", "oxalicacid"}, {"maleinsäure", "maleicacid"}, {"äpfelsäure", "malicacid"},
		{"malonsäure", "malonicacid"}, {"milchsäure", "lacticacid"}, {"propionsäure", "propionicacid"},
		{"glutaminsäure", "glutamicacid"}, {"asparaginsäure", "asparticacid"}, {"kakodylsäure", "cacodylicacid"},
		{"natronlauge", "sodiumhydroxide"}, {"kalilauge", "potassiumhydroxide"}, {"ammoniaklösung", "ammonia"}, {"ammoniakwasser", "ammonia"}, {"ammoniak", "ammonia"},
		{"kochsalz", "sodiumchloride"}, {"harnstoff", "urea"}, {"glycerin", "glycerol"}, {"rinderserumalbumin", "bovineserumalbumin"},
		{"natrium", "sodium"}, {"kalium", "potassium"}, {"kalzium", "calcium"}, {"zink", "zinc"}, {"mangan", "manganese"},
		{"kupfer", "copper"}, {"eisen", "iron"}, {"kobalt", "cobalt"}, {"cäsium", "caesium"},
		{"chlorid", "chloride"}, {"bromid", "bromide"}, {"iodid", "iodide"}, {"jodid", "iodide"}, {"fluorid", "fluoride"}, {"azid", "azide"},
		{"hydroxid", "hydroxide"}, {"thiocyanat", "thiocyanate"}, {"perchlorat", "perchlorate"}, {"thiosulfat", "thiosulfate"},
		{"sulfat", "sulfate"}, {"sulfit", "sulfite"}, {"phosphat", "phosphate"}, {"carbonat", "carbonate"}, {"karbonat", "carbonate"}, {"nitrat", "nitrate"},
		{"acetat", "acetate"}, {"azetat", "acetate"}, {"citrat", "citrate"}, {"zitrat", "citrate"}, {"formiat", "formate"}, {"succinat", "succinate"},
		{"tartrat", "tartrate"}, {"oxalat", "oxalate"}, {"malonat", "malonate"}, {"lactat", "lactate"}, {"propionat", "propionate"},
		{"glutamat", "glutamate"}, {"cacodylat", "cacodylate"}, {"gluconat", "gluconate"}, {"borat", "borate"}, {"pyruvat", "pyruvate"},
		{"wasserfrei", "anhydrous"}, {"hydrat", "hydrate"}, {"hydrochlorid", "hydrochloride"}, {"imidazol", "imidazole"},
		{"glycin", "glycine"}, {"histidin", "histidine"}, {"arginin", "arginine"}, {"lysin", "lysine"}, {"cystein", "cysteine"}, {"prolin", "proline"}, {"alanin", "alanine"},
		{"saccharose", "sucrose"}, {"lösung", ""}, {"puffer", ""},
	} {
		// What is English already stays as it is: the whole word is found first.
		if x[1] != "" {
			list = append(list, x[1], x[1])
		}
		list = append(list, x[0], x[1])
		if plain := umlauts.Replace(x[0]); plain != x[0] {
			list = append(list, plain, x[1])
		}
	}
	return strings.NewReplacer(list...)
}()

// umlauts are written without their dots on many keyboards.
var umlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue")

// fromGerman is a name in English where it is a German one, as a key: that of
// "Natriumchlorid" is the key of sodium chloride. Any other comes back as its key.
func fromGerman(name string) string { return german.Replace(key(name)) }
