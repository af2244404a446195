-- The studio's records. Words used in every table:
--   id          the record's name among its kind, opaque, never reused
--   created_us  when it was first stored } whole microseconds UTC since 1970;
--   changed_us  when it was last changed } 0 stands for no time at all
--   version     1 when first stored, one more with every change; a change from an older one is refused
--   ..._us a time, ..._ns a length of time in nanoseconds, ..._mm millimetres, ..._ml millilitres

-- +goose Up

-- The studio itself: one row.
create table profile (
	id         text    not null primary key, -- always 'studio'
	name       text    not null,             -- the studio's name
	units      text    not null,             -- habit of units: metric, imperial
	place      text    not null,             -- where it is, in its own words
	cyanide    boolean not null,             -- whether cyanide recipes were switched on
	created_us bigint  not null,
	changed_us bigint  not null,
	version    bigint  not null
);

-- A person who sits for a plate.
create table sitter (
	id         text   not null primary key,
	name       text   not null, -- as the sitter wishes to be called
	contact    text   not null, -- telephone or address, as given
	note       text   not null, -- the studio's own words
	created_us bigint not null,
	changed_us bigint not null,
	version    bigint not null
);

-- A time booked for a sitter's plates.
create table sitting (
	id         text             not null primary key,
	sitter     text             not null references sitter (id),
	at_us      bigint           not null, -- when it begins
	lasts_ns   bigint           not null, -- how long it is booked for
	purpose    text             not null, -- what the plates are for
	size_name  text             not null, -- trade name of the plates' size, '' when it has none
	width_mm   double precision not null, -- the plates' width in the camera
	height_mm  double precision not null, -- and their height
	plates     bigint           not null, -- how many are wanted
	state      text             not null, -- booked, arrived, done, called off
	note       text             not null,
	created_us bigint           not null,
	changed_us bigint           not null,
	version    bigint           not null
);
create index sitting_at on sitting (at_us);
create index sitting_sitter on sitting (sitter);

-- A lens the studio owns.
create table lens (
	id         text             not null primary key,
	name       text             not null,
	form       text             not null, -- its build, in the studio's words
	focal_mm   double precision not null,
	pupil_mag  double precision not null, -- exit pupil over entrance pupil, 1 when unknown
	circle_mm  double precision not null, -- diameter of good definition at infinity, 0 when unknown
	stops      text             not null, -- JSON: [{"name": "f/4.5", "f_number": 4.5}], widest first
	note       text             not null,
	retired    boolean          not null, -- no longer offered for new plates
	created_us bigint           not null,
	changed_us bigint           not null,
	version    bigint           not null
);

-- A camera.
create table camera (
	id          text             not null primary key,
	name        text             not null,
	size_name   text             not null, -- the largest plate its back takes
	width_mm    double precision not null,
	height_mm   double precision not null,
	shortest_mm double precision not null, -- least extension, lens board to plate
	longest_mm  double precision not null, -- greatest extension
	note        text             not null,
	retired     boolean          not null,
	created_us  bigint           not null,
	changed_us  bigint           not null,
	version     bigint           not null
);

-- A plate holder with its dark slide.
create table holder (
	id         text             not null primary key,
	name       text             not null,
	size_name  text             not null, -- the plate it takes
	width_mm   double precision not null,
	height_mm  double precision not null,
	note       text             not null,
	retired    boolean          not null,
	created_us bigint           not null,
	changed_us bigint           not null,
	version    bigint           not null
);

-- A recipe.
create table recipe (
	id         text    not null primary key,
	body       text    not null, -- JSON: name, kind, parts, cautions ..., as recipe files have them
	own        boolean not null, -- the studio's own, rather than one that came with it
	retired    boolean not null,
	created_us bigint  not null,
	changed_us bigint  not null,
	version    bigint  not null
);

-- One mixing of one recipe, in a bottle on the shelf.
create table batch (
	id          text             not null primary key,
	name        text             not null, -- as on the bottle's label
	recipe      text             not null references recipe (id),
	recipe_name text             not null, -- the recipe's name when it was mixed
	kind        text             not null, -- collodion, bath, developer, fixer, varnish
	mixed_us    bigint           not null, -- when it was mixed
	volume_ml   double precision not null, -- how much was made
	note        text             not null,
	retired     boolean          not null, -- used up or thrown away
	created_us  bigint           not null,
	changed_us  bigint           not null,
	version     bigint           not null
);

-- The last plate number given in a year; a number once given is never given again.
create table plate_counter (
	year   bigint not null primary key, -- four figures
	last   bigint not null              -- the last serial given
);

-- A plate: its number, the plan it is made by, and what its events come to. The second half is
-- derived: it is written together with every event, and folding the events again gives the same.
create table plate (
	id               text             not null primary key,
	year             bigint           not null, -- number 26-0147: year 2026,
	serial           bigint           not null, -- serial 147
	sitting          text             references sitting (id), -- null when it belongs to none
	size_name        text             not null,
	width_mm         double precision not null,
	height_mm        double precision not null,
	support          text             not null, -- blackened metal, clear glass, dark glass
	lens             text             references lens (id),
	stop_name        text             not null, -- the stop as the lens had it when the plate was planned
	stop_f_number    double precision not null,
	camera           text             references camera (id),
	holder           text             references holder (id),
	distance_mm      double precision not null, -- front principal plane to the sitter's eye plane
	magnification    double precision not null, -- size on the plate over size in life
	extension_mm     double precision not null, -- rear principal plane to plate
	depth_mm         double precision not null, -- total depth of what is sharp, 0 when it reaches infinity
	blur_limit_mm    double precision not null, -- largest blur disc accepted on the plate
	exposure_ns      bigint           not null, -- planned exposure, 0 when none was planned
	light            text             not null, -- where the light comes from
	collodion        text             references batch (id),
	bath             text             references batch (id),
	developer        text             references batch (id),
	fixer            text             references batch (id),
	varnish          text             references batch (id),
	note             text             not null,
	created_us       bigint           not null,
	changed_us       bigint           not null, -- of the plan; events do not touch it
	version          bigint           not null, -- of the plan; events do not touch it
	-- what the events come to
	state            text             not null, -- the state in a word: planned, a step, or a fate
	last_step        text             not null, -- the furthest step taken, '' for none
	next_step        text             not null, -- the step to take now, '' when the last is taken
	poured_us        bigint           not null, -- when it was poured, 0 before
	change_us        bigint           not null, -- when its last event happened, 0 for none
	verdict_word     bigint           not null, -- -3 much too dark to 3 much too light; 0 too when not judged
	verdict_fate     text             not null, -- keep, redo, reject; '' when not judged
	verdict_say      text             not null, -- the operator's words with it
	marks            text             not null, -- JSON list of the marks that stand
	copies           text             not null, -- JSON list of the copies that stand
	moved_to         text             not null, -- where it was last moved or delivered to
	done             bigint           not null, -- how many events stand
	unique (year, serial)
);
create index plate_sitting on plate (sitting, year, serial);
create index plate_state on plate (state, year, serial);
create index plate_begun on plate (year, serial) where poured_us <> 0;
create index plate_open on plate (year, serial) where verdict_fate = '' and next_step <> '';
create index plate_under_way on plate (year, serial) where verdict_fate = '' and next_step <> '' and poured_us <> 0;
create index plate_state_begun on plate (state, year, serial) where poured_us <> 0;
create index plate_state_open on plate (state, year, serial) where verdict_fate = '' and next_step <> '';

-- What happened to a plate. Rows are only ever added; triggers refuse the rest.
create table event (
	id          text   not null unique,                 -- made by the device, so that a repeat is known
	plate       text   not null references plate (id),
	seq         bigint not null,                        -- order received, 1 for a plate's first event
	kind        text   not null,                        -- poured, in bath, exposed, judged, corrected ...
	at_us       bigint not null,                        -- when it happened, by the device's clock
	received_us bigint not null,                        -- when it was stored, by the studio's clock
	device      text   not null,                        -- which device sent it
	made_by     text   not null,                        -- who, as the device was told; '' unknown
	corrects    text   not null,                        -- for a correction: the event it speaks of; else ''
	detail      text   not null,                        -- JSON: what there is to say, by kind
	primary key (plate, seq)
);

-- A browser's session with the studio's screens.
create table session (
	token      text   not null primary key,
	value      text   not null, -- base64 of what the session holds
	expiry_us  bigint not null, -- when it ends
	created_us bigint not null,
	changed_us bigint not null,
	version    bigint not null
);
create index session_expiry on session (expiry_us);

-- What the program keeps for itself, such as the password's hash.
create table setting (
	key        text   not null primary key,
	value      text   not null,
	created_us bigint not null,
	changed_us bigint not null,
	version    bigint not null
);
