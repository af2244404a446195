-- What is known of the studio's light: where it stands on the earth, its windows, flash rigs and lamps, how fast its
-- plates were found to be, and the light a plate was planned by. In tables that are there already, what nobody has told
-- is 0, false or {}.

-- +goose Up

alter table profile add column placed        boolean          not null default false; -- whether latitude and longitude are told
alter table profile add column latitude_deg  double precision not null default 0;     -- north positive
alter table profile add column longitude_deg double precision not null default 0;     -- east positive
alter table profile add column elevation_mm  double precision not null default 0;     -- above the sea

alter table plate add column lighting text not null default '{}'; -- JSON: the light it was planned by; a key is left out where it is zero

-- A window that light comes in by.
create table light_window (
	id          text             not null primary key,
	name        text             not null,
	facing_deg  double precision not null, -- where it looks out, from north over east
	width_mm    double precision not null, -- of the glass
	height_mm   double precision not null,
	sill_mm     double precision not null, -- lower edge of the glass above the floor
	sky_share   double precision not null, -- share of its view that is open sky, 0 to 1
	glazing     text             not null, -- name of the glass
	distance_mm double precision not null, -- where a sitter usually sits, square from the glass
	blind       boolean          not null, -- a blind or a cloth keeps the direct sun out
	note        text             not null,
	retired     boolean          not null,
	created_us  bigint           not null,
	changed_us  bigint           not null,
	version     bigint           not null
);

-- A set of flash heads as they stand for a plate.
create table rig (
	id            text             not null primary key,
	name          text             not null,
	heads         text             not null, -- JSON list: energy, tube, what stands before it, where it stands
	board         text             not null, -- JSON: a board that throws light back; {} for none
	room_m2       double precision not null, -- walls, floor and ceiling, 0 when they give nothing back
	room_reflects double precision not null, -- share of the light they throw back
	note          text             not null,
	retired       boolean          not null,
	created_us    bigint           not null,
	changed_us    bigint           not null,
	version       bigint           not null
);

-- What a rig was found to give. Rows are only ever added; triggers refuse the rest.
create table rig_reading (
	id            text             not null unique,                -- made by the device, so that a repeat is known
	rig           text             not null references rig (id),
	seq           bigint           not null,                       -- order received, 1 for a rig's first reading
	method        text             not null,                       -- flash meter, judged plate
	taken_us      bigint           not null,                       -- by the device's clock
	received_us   bigint           not null,                       -- by the studio's clock
	made_by       text             not null,
	energy_j      double precision not null,                       -- of all heads and pops
	distance_mm   double precision not null,                       -- from the key's front to where it was read
	metered_lx_s  double precision not null,                       -- 0 of a judged plate
	reckoned_lx_s double precision not null,                       -- of the rig, for the same
	error_stops   double precision not null,                       -- more light than reckoned, negative less
	sigma_stops   double precision not null,                       -- standard deviation of error_stops
	plate_year    bigint           not null,                       -- number of the judged plate, 0 of a meter
	plate_serial  bigint           not null,
	note          text             not null,
	withdraws     text             not null,                       -- for a withdrawal: the reading that does not count any more; else ''
	primary key (rig, seq)
);

-- An exposure index that was found. Rows are only ever added; triggers refuse the rest.
create table speed_found (
	id             text             not null primary key,          -- made by the device, so that a repeat is known
	exposure_index double precision not null,
	light_kind     text             not null,                      -- class of the light it was found under and holds for
	sigma_stops    double precision not null,                      -- standard deviation
	collodion      text             references batch (id),         -- null when it was not told
	plate_year     bigint           not null,                      -- number of the plate it was found with, 0 when not told
	plate_serial   bigint           not null,
	taken_us       bigint           not null,                      -- by the device's clock
	received_us    bigint           not null,                      -- by the studio's clock
	made_by        text             not null,
	note           text             not null,
	withdraws      text             not null                       -- for a withdrawal: the speed that does not count any more; else ''
);

-- The spectrum of a light that somebody measured.
create table spectrum (
	id         text    not null primary key,
	name       text    not null,
	csv        text    not null, -- as it came: wavelength in nm and power
	note       text    not null,
	retired    boolean not null,
	created_us bigint  not null,
	changed_us bigint  not null,
	version    bigint  not null
);
