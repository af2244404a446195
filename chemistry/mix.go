package chemistry

import (
	"fmt"
	"strings"

	"platewright/measure"
)

// Mixing asks for a recipe to be mixed.
type Mixing struct {
	Recipe       Recipe           // name, kind and system may be left out of a recipe that was only typed in
	Volume       measure.Volume   // wanted, finished; 0 for as much as the recipe makes
	Units        System           // to write the amounts in; Metric when left out
	Temperature  *measure.Celsius // of the room; 20 °C when left out
	AllowCyanide bool
}

// Limits of what is mixed at once, and of the room.
const (
	LeastVolume      measure.Volume  = 1
	GreatestVolume   measure.Volume  = 200 * measure.Litre
	LeastTemperature measure.Celsius = 0
	MostTemperature  measure.Celsius = 40
)

// Weighed is one part, scaled.
type Weighed struct {
	Substance Substance
	Trade     Amount          // in the wanted units, rounded to three figures
	Text      string          // the same as one lays out weights or reads a glass: "3 oz av 209 gr"
	Mass      *measure.Mass   // exact; nil for a liquid whose density is not known
	Volume    *measure.Volume // exact; nil for a solid
	ToVolume  bool            // filled up to the finished volume: the amount is only about right
	Strength  *Percent        // g in 100 mL finished; nil where the mass is not known, and for water
	VolumePct *float64        // mL in 100 mL finished; nil for solids and water
	Note      string
	Source    string
}

// Mixed is a recipe scaled to a volume, with what is known of it.
type Mixed struct {
	Recipe       Recipe
	Kind         Kind // as given, or read from the parts; empty when neither says
	Volume       measure.Volume
	Scale        float64 // finished volume over what the recipe makes
	Parts        []Weighed
	Halide       float64  // mol of iodide, bromide and chloride in a litre
	IodideShare  *float64 // of that halide; nil when there is none
	SilverDemand float64  // g of silver nitrate that a litre's halide takes up
	Density      *Density // nil where it is not known
	Order        []Step
	Label        Label
	Notes        []string
}

// silverMolar is the molar mass of silver nitrate, 107.868 + 14.007 + 3 × 15.999 [CIAAW2021].
const silverMolar = 169.872

// Mix scales a recipe. The error is a [*FieldError] for what is wrong with a line, a
// [*measure.RangeError] for what is out of range, or a [*Refusal] for parts that must not meet.
func Mix(in Mixing) (Mixed, error) {
	r := in.Recipe
	if r.Kind != "" && !oneOf(r.Kind, Kinds()) {
		return Mixed{}, inField("kind", fmt.Errorf("%q is not known; allowed: %s", string(r.Kind), joined(Kinds())))
	}
	if r.System != "" && !oneOf(r.System, Systems()) {
		return Mixed{}, inField("system", fmt.Errorf("%q is not known; allowed: %s", string(r.System), joined(Systems())))
	}
	if in.Units == "" {
		in.Units = Metric
	}
	if !oneOf(in.Units, Systems()) {
		return Mixed{}, inField("units", fmt.Errorf("%q is not known; allowed: %s", string(in.Units), joined(Systems())))
	}
	if in.Temperature == nil {
		usual := measure.Celsius(20)
		in.Temperature = &usual
	}
	if err := measure.Within("temperature", float64(*in.Temperature), float64(LeastTemperature), float64(MostTemperature), "°C"); err != nil {
		return Mixed{}, err
	}
	if err := r.checkParts(); err != nil {
		return Mixed{}, err
	}
	b, err := read(r)
	if err != nil {
		return Mixed{}, err
	}
	if name := b.mixture.having(cyanide); len(name) > 0 && !in.AllowCyanide {
		return Mixed{}, poison(name[0])
	}
	if err := b.mixture.refuse(); err != nil {
		return Mixed{}, err
	}
	if in.Volume == 0 {
		in.Volume = b.makes
	}
	if err := measure.Within("volume", float64(in.Volume), float64(LeastVolume), float64(GreatestVolume), "mL"); err != nil {
		return Mixed{}, err
	}
	return b.scaled(in), nil
}

// measuredRecipe is a recipe read into grams and millilitres, in the author's amounts.
type measuredRecipe struct {
	kind     Kind
	parts    []Substance
	lines    []Part
	amounts  []quantity
	makes    measure.Volume
	silver   *SilverSolution // of a plain silver bath
	mixture  mixture
	notes    []string
	fillLine int // the line filled up to volume, or -1
}

// trace is the share of the whole below which another part leaves a silver bath's density alone.
const trace = 0.01

func read(r Recipe) (measuredRecipe, error) {
	b := measuredRecipe{kind: r.Kind, lines: r.Parts, fillLine: -1}
	for i, p := range r.Parts {
		s, err := substanceNamed(p.Substance)
		if err != nil {
			return measuredRecipe{}, inField(fmt.Sprintf("parts[%d].substance", i), err)
		}
		var q quantity
		if p.ToVolume {
			b.fillLine = i
		} else if q, err = s.measured(p, r.System); err != nil {
			return measuredRecipe{}, inField(fmt.Sprintf("parts[%d]", i), err)
		}
		b.parts, b.amounts = append(b.parts, s), append(b.amounts, q)
	}
	b.mixture = mixture{parts: b.parts}
	if b.kind == "" {
		b.kind = kindOf(b.mixture)
	}
	if err := b.settleVolume(r); err != nil {
		return measuredRecipe{}, err
	}
	b.mixture.share, b.mixture.wets = b.shares(), b.wets()
	return b, nil
}

// kindOf reads from the parts what a recipe without a kind makes; empty when they do not say.
func kindOf(m mixture) Kind {
	switch {
	case m.has(plain, cotton):
		return Collodion
	case m.has(silver):
		return Bath
	case m.has(iron):
		return Developer
	case m.has(hypo, cyanide):
		return Fixer
	case m.has(resin):
		return Varnish
	case m.has(halide) && m.has(alcohol, ether):
		return Collodion
	}
	return ""
}

// settleVolume finds what the recipe makes, and the amount of the line that is filled up.
func (b *measuredRecipe) settleVolume(r Recipe) error {
	liquids := measure.Volume(0)
	for i, q := range b.amounts {
		switch {
		case q.volume != nil:
			liquids += *q.volume
		case b.parts[i].Liquid && i != b.fillLine && r.Makes.IsZero():
			return inField("makes", fmt.Errorf("is missing, and %s is weighed without a known density; give makes, the finished volume",
				b.parts[i].Name))
		}
	}
	salt, bath := b.silverSalt()
	if r.Makes.IsZero() {
		if liquids <= 0 {
			return inField("makes", fmt.Errorf("is missing and no part is a liquid; give makes, the finished volume"))
		}
		b.makes = liquids
		if bath {
			poured := liquids
			s, v, err := SilverInWater(salt, poured)
			if err != nil {
				return inField("parts", fmt.Errorf("%.4g g of silver nitrate in %.4g mL of liquid cannot be reckoned: %w", float64(salt), float64(poured), err))
			}
			b.silver, b.makes = &s, v
			return nil
		}
		b.notes = append(b.notes, "the recipe does not say what it makes: the finished volume is the sum of the liquids, without what the solids add")
		return nil
	}
	makes, err := r.Makes.VolumeIn(r.System)
	if err != nil {
		return inField("makes", err)
	}
	b.makes = makes
	// Ethanol and water lose at most 4 % of their volume on mixing [OIML22]; a tenth leaves room
	// for measures that were rounded.
	if liquids > makes*1.1 {
		return inField("makes", fmt.Errorf("%.4g mL is less than its liquids, %.4g mL together", makes.Millilitres(), liquids.Millilitres()))
	}
	if bath {
		s, err := SilverAt(Percent(100 * float64(salt) / float64(makes)))
		switch {
		case err == nil:
			b.silver = &s
		case b.fillLine >= 0:
			return inField("makes", fmt.Errorf("%.4g mL of so strong a bath cannot be reckoned: %w", makes.Millilitres(), err))
		default:
			b.notes = append(b.notes, "no density is held for silver nitrate so strong: "+err.Error())
		}
	}
	if b.fillLine < 0 {
		if liquids < makes*0.8 {
			b.notes = append(b.notes, fmt.Sprintf("the liquids come to %.3g mL of the %.3g mL the recipe makes: a liquid may be missing, or a line lacks to_volume",
				liquids.Millilitres(), makes.Millilitres()))
		}
		return nil
	}
	fill := makes - liquids
	if b.silver != nil && b.parts[b.fillLine].is(water) {
		// By weight: what the solution weighs, less the salt, is water.
		fill = measure.Volume((float64(b.silver.Density)*float64(makes)-float64(salt))/waterDensity) - liquids
	}
	if fill <= 0 {
		return inField("makes", fmt.Errorf("%.4g mL leaves no room for the %s to fill up with", makes.Millilitres(), b.parts[b.fillLine].Name))
	}
	b.amounts[b.fillLine] = b.parts[b.fillLine].poured(fill)
	return nil
}

// silverSalt returns the silver nitrate of a plain bath: silver nitrate in water, with at most a
// trace of anything else.
func (b *measuredRecipe) silverSalt() (measure.Mass, bool) {
	var salt, others float64
	for i, s := range b.parts {
		q := b.amounts[i]
		switch {
		case s.is(silver):
			salt += float64(*q.mass)
		case s.is(water):
		case q.mass != nil:
			others += float64(*q.mass)
		case q.volume != nil:
			others += float64(*q.volume)
		default:
			return 0, false
		}
	}
	return measure.Mass(salt), salt > 0 && b.mixture.has(water) && others <= trace*salt
}

// shares returns each liquid's part of all the liquids; a liquid that was weighed and whose density
// is not known has none.
func (b *measuredRecipe) shares() map[string]float64 {
	total, share := 0.0, map[string]float64{}
	for _, q := range b.amounts {
		if q.volume != nil {
			total += float64(*q.volume)
		}
	}
	for i, q := range b.amounts {
		if q.volume != nil && total > 0 {
			share[b.parts[i].Name] += float64(*q.volume) / total
		}
	}
	for i, q := range b.amounts {
		if q.volume == nil {
			delete(share, b.parts[i].Name)
		}
	}
	return share
}

// wets returns the millilitres of water, alcohol and ether to each gram of oxidiser and of solid
// organic matter; 0 where there is no such gram.
func (b *measuredRecipe) wets() float64 {
	var liquid, solid float64
	for i, s := range b.parts {
		q := b.amounts[i]
		switch {
		case (s.is(water) || s.is(alcohol) || s.is(ether)) && q.volume != nil:
			liquid += float64(*q.volume)
		case (s.is(oxidiser) || s.is(organicSolid)) && q.mass != nil:
			solid += float64(*q.mass)
		}
	}
	if solid == 0 {
		return 0
	}
	return liquid / solid
}

// scaled takes the recipe to the wanted volume.
func (b *measuredRecipe) scaled(in Mixing) Mixed {
	k := float64(in.Volume) / float64(b.makes)
	m := Mixed{Recipe: in.Recipe, Kind: b.kind, Volume: in.Volume, Scale: k, Order: order(b.kind, b.parts)}
	litres := in.Volume.Litres()
	var iodide, bromide, chloride float64
	for i, s := range b.parts {
		w := Weighed{Substance: s.clone(), ToVolume: i == b.fillLine, Note: b.lines[i].Note, Source: b.lines[i].Source}
		if w.Source == "" {
			w.Source = in.Recipe.Source
		}
		if q := b.amounts[i]; q.mass != nil {
			mass := measure.Mass(k) * *q.mass
			w.Mass = &mass
			w.Trade = tradeMass(mass, in.Units)
			w.Text = tradeText(w.Trade, float64(mass), in.Units, false)
			if !s.is(water) {
				pct := Percent(100 * float64(mass) / float64(in.Volume))
				w.Strength = &pct
			}
			if molar, ok := s.MolarMass(); ok {
				mol := float64(mass) / float64(molar)
				iodide, bromide, chloride = iodide+s.halide[0]*mol, bromide+s.halide[1]*mol, chloride+s.halide[2]*mol
			}
		}
		if q := b.amounts[i]; q.volume != nil {
			volume := measure.Volume(k) * *q.volume
			w.Volume = &volume
			w.Trade = tradeVolume(volume, in.Units)
			w.Text = tradeText(w.Trade, float64(volume), in.Units, true)
			if !s.is(water) {
				pct := 100 * float64(volume) / float64(in.Volume)
				w.VolumePct = &pct
			}
		}
		m.Parts = append(m.Parts, w)
	}
	if total := iodide + bromide + chloride; total > 0 {
		m.Halide = total / litres
		m.SilverDemand = m.Halide * silverMolar // one silver ion takes one halide ion
		share := iodide / total
		m.IodideShare = &share
	}
	if b.silver != nil {
		d := b.silver.Density
		m.Density = &d
	}
	m.Label = labelOf(b.hazards())
	m.Notes = append(b.notes, b.remarks(in)...)
	return m
}

// hazards returns the parts' hazards as they stand in this mixture.
func (b *measuredRecipe) hazards() []Hazard {
	var list []Hazard
	wet := b.mixture.has(water, alcohol, ether)
	for i, s := range b.parts {
		h := s.Hazard
		switch {
		case s.Name == "acetic acid":
			h = dilutedAcetic(h, b.amounts[i], b.makes)
		case s.Name == "pyroxylin" && wet:
			h = Hazard{Held: true} // H201 is the dry cotton's; a remark says so
		}
		list = append(list, h)
	}
	return list
}

// dilutedAcetic applies the concentration limits of acetic acid [CLP2008, annex VI], from memory:
// corrosive from 25 per cent, irritant from 10. Grams in 100 mL stand for per cent by mass.
func dilutedAcetic(h Hazard, q quantity, makes measure.Volume) Hazard {
	if q.mass == nil {
		return h
	}
	switch pct := 100 * float64(*q.mass) / float64(makes); {
	case pct >= 25:
		return h
	case pct >= 10:
		return Hazard{Held: true, Signal: Warning, Statements: []string{"H226", "H315", "H319"}}
	}
	return Hazard{Held: true, Signal: Warning, Statements: []string{"H226"}}
}

// remarks are the sentences a mixer must read.
func (b *measuredRecipe) remarks(in Mixing) []string {
	m, warmth := b.mixture, *in.Temperature
	var notes []string
	say := func(when bool, text string) {
		if when {
			notes = append(notes, text)
		}
	}
	say(m.has(cyanide), cyanideCaution)
	for _, c := range in.Recipe.Cautions {
		say(true, c)
	}
	say(in.Recipe.Unsafe != "", "unsafe in the old text: "+in.Recipe.Unsafe)
	say(b.kind == "", "the parts do not say what this makes: the order of mixing is the general one")
	say(b.silver != nil, "the density is that of silver nitrate in pure water at 20 °C (within 0.0005 g/mL); a used bath holds alcohol and is lighter")
	say(b.silver != nil && (warmth < 15 || warmth > 25), fmt.Sprintf("at %.3g °C the volume and density differ from those of 20 °C given here", float64(warmth)))
	say(m.has(alcohol) && m.has(water), "alcohol and water lose a little volume on mixing (up to 4 %); that is not reckoned, so fill up to the mark last")
	say(b.fillLine >= 0, "the line filled up to volume is only about right: pour the last of it by the mark")
	drops := false
	for _, p := range b.lines {
		row, err := p.Unit.row()
		drops = drops || err == nil && row.unit == "drop"
	}
	say(drops, "a drop is taken as 0.05 mL; droppers differ (common practice, no source)")
	say(in.Units == Apothecary, "apothecary: solids in grains, scruples, drachms and ounces of 480 grains; liquids in the wine measure, which is the US fluid ounce")
	say(m.has(ether), "ether vapour is heavier than air and takes fire from a far-off flame, switch or heater; date the bottle when it is opened, "+
		"and never evaporate ether that has not been tested for peroxides [ICSC0355]")
	say(m.has(ether) && warmth > 28, "ether boils near 35 °C (from memory): in this heat cool the bottles before they are opened")
	say(m.has(cotton), "dried collodion and rags soaked with it burn in a flash: keep them under water in a closed can; the dry cotton is an explosive (H201, from memory)")
	say(m.has(silver), "silver nitrate stains and burns skin and can blind an eye: gloves and goggles. Never ammonia near it, and never heat an acid bath that plates have carried alcohol into")
	say(m.has(acid), "acid goes into water, never water into acid")
	say(b.kind == Developer && warmth > 25, "in heat the trade takes more acid, or less iron, and cools the developer [Towler1864]")
	say(b.kind == Developer && warmth < 15, "in cold the trade takes less acid, and warms the developer [Towler1864]")
	for _, s := range b.parts {
		say(strings.HasPrefix(s.Name, "cadmium"), s.Name+" is treated as a cause of cancer: no dust, no bare skin, waste kept apart")
	}
	var unknown []string
	recalled := false
	for _, s := range b.parts {
		if !s.Hazard.Held {
			unknown = append(unknown, s.Name)
		}
		recalled = recalled || len(s.Hazard.FromMemory) > 0
	}
	say(len(unknown) > 0, "no classification is held here for "+strings.Join(unknown, ", ")+", which does not mean that none exists")
	say(recalled, "hazard statements marked from memory are to be read again in the supplier's safety sheet")
	say(true, "the label is the union of what the parts bear, a cautious approximation and no classification in law; the supplier's safety sheet and local rules hold")
	return notes
}
