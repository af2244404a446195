-- What is known of lenses, cameras and the room beyond the first questions, how a plate's camera and
-- sitter are to be set, and what the bench found out about a lens. In tables that are there already,
-- what nobody has told is 0, '' or {}.
--   ..._deg degrees

-- +goose Up

alter table profile add column room_mm double precision not null default 0; -- depth of the room plates are made in, 0 when unknown

alter table lens add column design         text             not null default ''; -- key of the form it is built like, '' when unknown
alter table lens add column barrel_mm      double precision not null default 0;  -- rim of the front glass to rim of the rear glass, 0 when unknown
alter table lens add column front_glass_mm double precision not null default 0;  -- clear diameter of the front glass, 0 when unknown
alter table lens add column rear_glass_mm  double precision not null default 0;  -- clear diameter of the rear glass, 0 when unknown
alter table lens add column board_ahead_mm double precision not null default 0;  -- principal planes ahead of the lens board, negative behind it, 0 takes them as one

alter table camera add column front_tilt_deg  double precision not null default 0;     -- farthest the lens board leans either way, 0 when fixed
alter table camera add column front_swing_deg double precision not null default 0;     -- farthest it turns either way, 0 when fixed
alter table camera add column back_tilt_deg   double precision not null default 0;     -- farthest the back leans either way, 0 when fixed
alter table camera add column back_swing_deg  double precision not null default 0;     -- farthest it turns either way, 0 when fixed
alter table camera add column rise_mm         double precision not null default 0;     -- farthest the lens board goes up, 0 when fixed
alter table camera add column fall_mm         double precision not null default 0;     -- farthest it goes down, 0 when fixed
alter table camera add column shift_mm        double precision not null default 0;     -- farthest it goes to either side, 0 when fixed
alter table camera add column base_tilt       boolean          not null default false; -- tilts at the foot of the standards, else about the middle

alter table plate add column setting text not null default '{}'; -- JSON: pose and movements as planned; a key is left out where it is zero

-- What was measured of a lens on the bench. Rows are only ever added; triggers refuse the rest.
create table lens_reading (
	id          text   not null unique,                -- made by the device, so that a repeat is known
	lens        text   not null references lens (id),
	seq         bigint not null,                       -- order received, 1 for a lens's first reading
	method      text   not null,                       -- two magnifications, stops, curvature ..., as the reckoning bench names them
	taken_us    bigint not null,                       -- when it was measured, by the device's clock
	received_us bigint not null,                       -- when it was stored, by the studio's clock
	made_by     text   not null,                       -- who measured; '' unknown
	question    text   not null,                       -- JSON: the question to the reckoning bench; '' for a withdrawal
	answer      text   not null,                       -- JSON: what it answered; '' for a withdrawal
	note        text   not null,
	withdraws   text   not null,                       -- for a withdrawal: the reading that does not count any more; else ''
	primary key (lens, seq)
);
