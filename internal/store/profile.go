package store

import (
	"context"
	"errors"

	"platewright/internal/studio"
)

// The profile is the one record of its table.
const profileID studio.ID = "studio"

type profileRow struct {
	id studio.ID
	studio.Profile
}

func (r records) profiles() table[profileRow] {
	return table[profileRow]{
		records: r,
		kind:    "profile",
		id:      func(p *profileRow) *studio.ID { return &p.id },
		stamp:   func(p *profileRow) *studio.Stamp { return &p.Stamp },
		columns: func(p *profileRow) []column {
			return []column{
				{name: "name", value: words(&p.Name)},
				{name: "units", value: words(&p.Units)},
				{name: "place", value: words(&p.Place)},
				{name: "cyanide", value: flag{&p.Cyanide}},
				{name: "room_mm", value: amount(&p.Room)},
				{name: "placed", value: flag{&p.Placed}},
				{name: "latitude_deg", value: degrees{&p.Latitude}},
				{name: "longitude_deg", value: degrees{&p.Longitude}},
				{name: "elevation_mm", value: amount(&p.Elevation)},
			}
		},
	}
}

// Profile returns the studio itself.
func (r records) Profile(ctx context.Context) (studio.Profile, error) {
	row, err := r.profiles().Find(ctx, profileID)
	return row.Profile, err
}

// SaveProfile adds the profile, or changes it.
func (r records) SaveProfile(ctx context.Context, p studio.Profile) error {
	row := profileRow{id: profileID, Profile: p}
	if p.Version == 1 {
		return bare(r.profiles().Add(ctx, row))
	}
	return bare(r.profiles().Change(ctx, row))
}

// bare gives a conflict the profiles themselves rather than their rows.
func bare(err error) error {
	var c *studio.Conflict
	if !errors.As(err, &c) {
		return err
	}
	yours, ok := c.Yours.(profileRow)
	theirs, also := c.Theirs.(profileRow)
	if !ok || !also {
		return err
	}
	return &studio.Conflict{Kind: c.Kind, Yours: yours.Profile, Theirs: theirs.Profile}
}
