PRAGMA application_id = 1952539499;
PRAGMA user_version = 7;
CREATE TABLE entry (
    id       INTEGER PRIMARY KEY,            -- 1, 2, 3 … without a gap
    at       TEXT NOT NULL,                  -- when it happened, RFC 3339, UTC
    recorded TEXT NOT NULL,                  -- when it was written down, RFC 3339, UTC
    fact     TEXT NOT NULL CHECK (json_valid(fact)),
    anyway   TEXT CHECK (anyway IS NULL OR json_valid(anyway)),
    hash     TEXT NOT NULL                   -- SHA-256 over the hash before it and this row
, act INTEGER REFERENCES entry (id), form INTEGER NOT NULL DEFAULT 1) STRICT;
INSERT INTO entry VALUES (1, '2026-03-02T08:30:00Z', '2026-03-02T08:30:00Z', '{"fact":"setup_loaded","setup":{"shop":{"name":"Sorrel Lane Turnery","zone":"Europe/Dublin","hands":1,"hours":{"hours":{"fri":["08:30-12:30","13:15-16:00"],"mon":["08:30-12:30","13:15-17:30"],"thu":["08:30-12:30","13:15-17:30"],"tue":["08:30-12:30","13:15-17:30"],"wed":["08:30-12:30","13:15-17:30"]},"closed":["2026-03-17","2026-04-03..2026-04-06"]}},"rooms":[{"name":"oil room","heated":"always"}],"racks":[{"name":"drip-1","room":"oil room","slots":36,"purpose":"dry"},{"name":"loft","room":"oil room","slots":240,"purpose":"cure"},{"name":"shelf","room":"oil room","slots":12,"purpose":"dry_and_cure"}],"finishes":[{"name":"house oil","kind":"polymerised drying oil","sheet":{"title":"maker''s technical sheet","revised":"2025-04-01"},"soak":"10m..20m","recoat":"24h..7d","cure":"21d","at":23.0,"lowest":10.0,"dampest":80.0,"q10":2.0,"spread":18.0,"spread_bare":12.0,"voc":420.0,"air_limit":{"mg_m3":350.0,"basis":"occupational limit on the sheet, 8 h"},"lower_flammable":{"mg_m3":40000.0,"basis":"lower flammable limit on the sheet"},"keeps":"6 months","contains":["walnut"],"self_heating":true,"from_class":{}},{"name":"hard wax","kind":"hardwax oil","sheet":null,"soak":"5m..15m","recoat":"12h..4d","cure":"48h","at":20.0,"lowest":10.0,"dampest":80.0,"q10":2.5,"spread":24.0,"spread_bare":20.0,"voc":null,"air_limit":null,"keeps":"1 year","contains":null,"self_heating":true,"from_class":{"at":"common practice","dampest":"common practice","keeps":"common practice","lowest":"common practice","q10":"66 kJ/mol for linolenic acid (J. Agric. Food Chem. 53, 2005, abstract read), well above room temperature","self_heating":"see R1 and R4","soak":"common practice","spread":"common practice, of 20 to 40 wiped very thin","spread_bare":"common practice, of 20 to 40 wiped very thin"}}],"pieces":[{"name":"pinch bowl","wood":"beech","per_blank":2,"size":{"outline":[[0.0,0.0],[0.0,40.0],[12.0,62.0],[38.0,66.0],[38.0,60.0],[8.0,30.0],[8.0,0.0]]}},{"name":"spoon rest","wood":null,"per_blank":1,"size":{"area":150.0}}],"recipes":[{"name":"two coats","piece":"pinch bowl","steps":[{"kind":"work","name":"turn","each":"6m10s","rest":null},{"kind":"sand","grit":"P240","each":"30s","strip":10,"rest":null},{"kind":"raise","with":"water","each":"8s","rest":{"at_least":"4h"}},{"kind":"coat","finish":"house oil","each":"22s","wipe":"18s","rest":null},{"kind":"rub","grit":"P400","each":"15s","strip":12,"rest":{"between":"10m..4h"}},{"kind":"coat","finish":"house oil","each":"20s","wipe":"18s","rest":null},{"kind":"cure","finish":"house oil","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]}]},"revisions":{"one coat":1,"two coats":1},"text":"# The shop of the golden ledgers: every key of a setup file once.\n\n[shop]\nname = \"Sorrel Lane Turnery\"\ntimezone = \"Europe/Dublin\"\nhands = 1\nclosed = [\"2026-03-17\", \"2026-04-03..2026-04-06\"]\n\n[shop.hours]\nmon = [\"08:30-12:30\", \"13:15-17:30\"]\ntue = [\"08:30-12:30\", \"13:15-17:30\"]\nwed = [\"08:30-12:30\", \"13:15-17:30\"]\nthu = [\"08:30-12:30\", \"13:15-17:30\"]\nfri = [\"08:30-12:30\", \"13:15-16:00\"]\n\n[[room]]\nname = \"oil room\"\nheated = \"always\"\n\n[[rack]]\nname = \"drip-1\"\nroom = \"oil room\"\nslots = 36\nuse = [\"dry\"]\n\n[[rack]]\nname = \"loft\"\nroom = \"oil room\"\nslots = 240\nuse = [\"cure\"]\n\n[[rack]]\nname = \"shelf\"\nroom = \"oil room\"\nslots = 12\nuse = [\"dry\", \"cure\"]\n\n[[finish]]\nname = \"house oil\"\nkind = \"polymerised drying oil\"\nsheet = { title = \"maker''s technical sheet\", revised = \"2025-04-01\" }\nsoak = \"10m..20m\"\nrecoat = \"24h..7d\"\ncure = \"21d\"\nsheet_temp = 23.0\nmin_temp = 10.0\nmax_humidity = 80\nq10 = 2.0\ncoverage = 18.0\ncoverage_bare = 12.0\nvoc = 420\nair_limit = { mg_m3 = 350, basis = \"occupational limit on the sheet, 8 h\" }\nlower_flammable = { mg_m3 = 40000, basis = \"lower flammable limit on the sheet\" }\nuse_within = \"6 months\"\ncontains = [\"walnut\"]\nself_heating = true\n\n[[finish]]\nname = \"hard wax\" # its sheet is short: the class supplies the rest\nkind = \"hardwax oil\"\nrecoat = \"12h..4d\"\ncure = \"2d\"\n\n[[piece]]\nname = \"pinch bowl\"\nwood = \"beech\"\npieces_per_blank = 2\nprofile = [[0, 0], [0, 40], [12, 62], [38, 66], [38, 60], [8, 30], [8, 0]]\n\n[[piece]]\nname = \"spoon rest\"\narea_cm2 = 150\n\n[[recipe]]\nname = \"two coats\"\npiece = \"pinch bowl\"\nsteps = [\n  { work = \"turn\", each = \"6m10s\" },\n  { sand = \"P240\", each = \"30s\", strip = 10 },\n  { raise = \"water\", each = \"8s\", rest = \"4h\" },\n  { coat = \"house oil\", each = \"22s\", wipe = \"18s\" },\n  { rub = \"P400\", each = \"15s\", strip = 12, rest = \"10m..4h\" },\n  { coat = \"house oil\", each = \"20s\", wipe = \"18s\" },\n  { cure = \"house oil\" },\n  { work = \"inspect\", each = \"20s\" },\n]\n\n[[recipe]]\nname = \"one coat\"\npiece = \"spoon rest\"\nsteps = [\n  { sand = \"P240\", each = \"30s\" },\n  { coat = \"hard wax\", each = \"20s\" },\n  { cure = \"hard wax\" },\n  { work = \"inspect\", each = \"20s\" },\n]\n"}', NULL, '6688aa12dc31966c9a7fdf6fb27af3fc0fc591df3919712445ff8f11e1406399', 1, 1);
INSERT INTO entry VALUES (2, '2026-03-02T08:40:00Z', '2026-03-02T08:40:00Z', '{"fact":"can_opened","can":"K7","finish":"house oil","litres":1.0,"maker_lot":"L4481"}', NULL, '1b643033048785c134f87376e58c48956bc594c6131f263e9f7c4187db46d5f6', 2, 1);
INSERT INTO entry VALUES (3, '2026-03-02T08:40:00Z', '2026-03-02T08:40:00Z', '{"fact":"can_opened","can":"W1","finish":"hard wax","litres":null,"maker_lot":null}', NULL, '36c2ac095e9f96915a505a591ab781a53b6eb3fd7aa1c7402aa46e3aa6b07383', 3, 1);
INSERT INTO entry VALUES (4, '2026-03-02T08:41:00Z', '2026-03-02T08:45:00Z', '{"fact":"can_opened","can":"W0","finish":"hard wax","litres":0.5,"maker_lot":null}', NULL, '3a3dcd20433daaee907f879bb0e049a4448112f340f1b71270b160c440e3b83d', 4, 1);
INSERT INTO entry VALUES (5, '2026-03-02T08:50:00Z', '2026-03-02T08:50:00Z', '{"fact":"can_emptied","can":"W0"}', NULL, '77fdcebb4aad69bf75f210ae60c1fad48af5a197f4f24bf4e59988db44bbfdd4', 5, 1);
INSERT INTO entry VALUES (6, '2026-03-02T09:00:00Z', '2026-03-02T09:00:00Z', '{"fact":"batch_opened","batch":"rest","recipe":"one coat","pieces":5,"due":"2026-03-27","customer":"a shop in town"}', NULL, '1a267f99cb457a145df3df9765595eb91700bca7c7075c0f282b5ac5a665fb41', 6, 1);
INSERT INTO entry VALUES (7, '2026-03-02T09:00:00Z', '2026-03-02T09:00:00Z', '{"fact":"batch_opened","batch":"salt","recipe":"two coats","pieces":20,"due":null,"customer":null}', NULL, 'a6a8001c661911d7fdf3740a9682239a1206e15b82f04bf8eb6e5d871dc13700', 7, 1);
INSERT INTO entry VALUES (8, '2026-03-02T09:00:00Z', '2026-03-02T09:00:00Z', '{"fact":"batch_opened","batch":"slip","recipe":"one coat","pieces":3,"due":null,"customer":null}', NULL, '0a86c1638b813e5f0c43bcfcbed8cd15b4a113e6aff1ecabbb573721904cc272', 8, 1);
INSERT INTO entry VALUES (9, '2026-03-02T09:01:00Z', '2026-03-02T09:01:00Z', '{"fact":"batch_closed","batch":"slip"}', NULL, '9f2b5aece30c35dd45d254870e942bfc2955e092a3b106cbb2f7a76992ca42f9', 9, 1);
INSERT INTO entry VALUES (10, '2026-03-02T09:05:00Z', '2026-03-02T09:05:00Z', '{"fact":"readings_added","room":"oil room","readings":1,"first":"2026-03-02T09:05:00Z","last":"2026-03-02T09:05:00Z","file":null,"digest":"0dd412806b2c796bce39a377436ed98b3902f4c507c297a56bc2010520d0e5bb"}', NULL, '013983cdac7deec0eb7cd7047bab6f71a0ebf0648e094e10e7f8d106b3f47020', 10, 1);
INSERT INTO entry VALUES (11, '2026-03-02T09:10:00Z', '2026-03-02T09:10:00Z', '{"fact":"readings_added","room":"oil room","readings":3,"first":"2026-03-02T08:00:00Z","last":"2026-03-02T09:00:00Z","file":"log.csv","digest":"3977f9ea0975ea2ea332bd3d95611340adf2ebacd5515df3fa5bf3e1aab0b61a"}', NULL, 'b53ab74ebf2757274f4b04e698e83d906037fb51ae71b889258b68e03c3157a7', 11, 1);
INSERT INTO entry VALUES (12, '2026-03-02T09:15:00Z', '2026-03-02T09:15:00Z', '{"fact":"lot_started","lot":"rest-1","recipe":{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":1,"pieces":6,"rack":"drip-1","from_step":1}', NULL, '4a5565bd16b8a805020278147d94ab78ebf9fb215d94a08ed95fbe6bac8c72d7', 12, 1);
INSERT INTO entry VALUES (13, '2026-03-02T09:20:00Z', '2026-03-02T09:20:00Z', '{"fact":"lot_started","lot":"salt-1","recipe":{"name":"two coats","piece":"pinch bowl","steps":[{"kind":"work","name":"turn","each":"6m10s","rest":null},{"kind":"sand","grit":"P240","each":"30s","strip":10,"rest":null},{"kind":"raise","with":"water","each":"8s","rest":{"at_least":"4h"}},{"kind":"coat","finish":"house oil","each":"22s","wipe":"18s","rest":null},{"kind":"rub","grit":"P400","each":"15s","strip":12,"rest":{"between":"10m..4h"}},{"kind":"coat","finish":"house oil","each":"20s","wipe":"18s","rest":null},{"kind":"cure","finish":"house oil","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":1,"pieces":12,"rack":null,"from_step":1}', NULL, 'daed5f282853e09b940d45180bc0f9b4fb439d21e985772f43314e3309c1fea1', 13, 1);
INSERT INTO entry VALUES (14, '2026-03-02T09:33:21Z', '2026-03-02T09:35:00Z', '{"fact":"pace_timed","lot":"salt-1","recipe":"two coats","splits":[{"step":{"name":"turn","nth":1},"before":0,"seconds":[1,370]},{"step":{"name":"sand P240","nth":1},"before":0,"seconds":[370,30]},{"step":{"name":"raise with water","nth":1},"before":0,"seconds":[29]}]}', NULL, 'e1fd5a40612e3c834b7adecbc646741f29a904eea3d7d144697069311f1e59dc', 14, 1);
INSERT INTO entry VALUES (15, '2026-03-02T10:00:00Z', '2026-03-02T10:00:00Z', '{"fact":"step_done","lot":"rest-1","step":1,"pieces":6,"coat":null,"minutes":4,"rack":null,"timed":{"recipe":"one coat","step":{"name":"sand P240","nth":1},"before":0}}', NULL, '797e3bd5a08a616c370e2dd8b024b4f9c0ab8a80c4bd2a695c14c3c3e43d5764', 15, 1);
INSERT INTO entry VALUES (16, '2026-03-02T10:30:00Z', '2026-03-02T10:30:00Z', '{"fact":"step_begun","lot":"rest-1","step":2,"rack":null}', NULL, '9d5f64ee74259b63596031299c0b62b99821fc73d6f2f85238801e24460f0db9', 16, 1);
INSERT INTO entry VALUES (17, '2026-03-02T10:32:00Z', '2026-03-02T10:32:00Z', '{"fact":"step_done","lot":"rest-1","step":2,"pieces":6,"coat":{"finish":"hard wax","can":"W1","drawn":0.0045},"minutes":null,"rack":null}', NULL, '9d8f9d37d0c3266fc769dd9e510852155688f16156f528b73d7ebc09658a8190', 17, 1);
INSERT INTO entry VALUES (18, '2026-03-02T10:40:00Z', '2026-03-02T10:40:00Z', '{"fact":"rags_dealt_with","rags":[{"coat":17,"lot":"rest-1"}],"how":"spread flat outdoors"}', NULL, '8ab4097dd0718739b17fb14a0df57aa40a47581fbeabb01c4956c373514ac986', 18, 1);
INSERT INTO entry VALUES (19, '2026-03-02T12:00:00Z', '2026-03-02T12:00:00Z', '{"fact":"step_done","lot":"salt-1","step":1,"pieces":12,"coat":null,"minutes":75,"rack":null,"timed":{"recipe":"two coats","step":{"name":"turn","nth":1},"before":0}}', NULL, '0999c2647b0b0e7a1b23cc97c7c6a799b6e2e0d9564a69450fc571541d0f6d20', 19, 1);
INSERT INTO entry VALUES (20, '2026-03-02T13:20:00Z', '2026-03-02T13:20:00Z', '{"fact":"step_done","lot":"salt-1","step":2,"pieces":12,"coat":null,"minutes":null,"rack":null}', NULL, '390695174ac8d228eb42f16937de59608ff7d5172a0c8c89ecbd69e878154717', 20, 1);
INSERT INTO entry VALUES (21, '2026-03-02T13:30:00Z', '2026-03-02T13:30:00Z', '{"fact":"step_done","lot":"salt-1","step":3,"pieces":12,"coat":null,"minutes":null,"rack":null}', NULL, '818b58e2a6f77bdecb2611ffe4468f0bb85facf6a2624bf4ddd02278700e6155', 21, 1);
INSERT INTO entry VALUES (22, '2026-03-02T13:35:00Z', '2026-03-02T13:35:00Z', '{"fact":"lot_split","lot":"salt-1","into":"salt-2","pieces":5,"rack":null}', NULL, '162755e47bb51c6eac793e3b6cbcfc40e9712560d74c8010b5ac656f1a9cba38', 22, 1);
INSERT INTO entry VALUES (23, '2026-03-02T13:36:00Z', '2026-03-02T13:36:00Z', '{"fact":"lot_split","lot":"salt-1","into":"salt-3","pieces":1,"rack":"shelf"}', NULL, '275f120e3760967f0974df0e0f0d83b00125515c437786ac0a2a3a41eda0bd5a', 23, 1);
INSERT INTO entry VALUES (24, '2026-03-02T13:40:00Z', '2026-03-02T13:40:00Z', '{"fact":"lot_held","lot":"salt-3","why":"a crack?"}', NULL, 'cd6197df19cf9f990d376c3e475f98dd066dc7f625cce1f4065ea0db692892e6', 24, 1);
INSERT INTO entry VALUES (25, '2026-03-02T13:50:00Z', '2026-03-02T13:50:00Z', '{"fact":"lot_released","lot":"salt-3"}', NULL, '17620f6473a29a6d2b400f0b6d6c79124cf950a3d0d40498bdc688ca23d0896c', 25, 1);
INSERT INTO entry VALUES (26, '2026-03-02T13:55:00Z', '2026-03-02T13:55:00Z', '{"fact":"pieces_rejected","lot":"salt-3","pieces":1,"why":"cracked","step":4}', NULL, '4be96e656939c743fce50b6e1bd3a6330341e51f9f311c764a7d39e5c0d7fa43', 26, 1);
INSERT INTO entry VALUES (27, '2026-03-03T08:40:00Z', '2026-03-03T08:40:00Z', '{"fact":"step_begun","lot":"salt-1","step":4,"rack":"drip-1"}', NULL, '2487b2b78ab1274b6106fa3e110ee91e1da19d5f773d9c07321170eabdcd8d07', 27, 1);
INSERT INTO entry VALUES (28, '2026-03-03T08:40:00Z', '2026-03-03T08:40:00Z', '{"fact":"step_begun","lot":"salt-2","step":4,"rack":"drip-1"}', NULL, '903a96486c993a84e4adde084230a852aa81f5cd792b05a4800b4e77862baad7', 27, 1);
INSERT INTO entry VALUES (29, '2026-03-03T08:55:00Z', '2026-03-03T08:55:00Z', '{"fact":"step_done","lot":"salt-1","step":4,"pieces":6,"coat":{"finish":"house oil","can":"K7","drawn":0.007575},"minutes":4,"rack":null,"timed":{"recipe":"two coats","step":{"name":"coat house oil","nth":1},"before":0}}', NULL, 'd57cb168a6a4cd3f71f74176531bd4114571e64364a3f0267b8dbcfd6b777ae0', 29, 1);
INSERT INTO entry VALUES (30, '2026-03-03T08:55:00Z', '2026-03-03T08:55:00Z', '{"fact":"step_done","lot":"salt-2","step":4,"pieces":5,"coat":{"finish":"house oil","can":"K7","drawn":0.006313},"minutes":5,"rack":null,"timed":{"recipe":"two coats","step":{"name":"coat house oil","nth":1},"before":6}}', NULL, '2bf86148ea9b218b41055da00651c2d6bbc68ccf32a5f64ca1f1335e437486eb', 29, 1);
INSERT INTO entry VALUES (31, '2026-03-03T09:00:00Z', '2026-03-03T09:00:00Z', '{"fact":"setup_loaded","setup":{"shop":{"name":"Sorrel Lane Turnery","zone":"Europe/Dublin","hands":1,"hours":{"hours":{"fri":["08:30-12:30","13:15-16:00"],"mon":["08:30-12:30","13:15-17:30"],"thu":["08:30-12:30","13:15-17:30"],"tue":["08:30-12:30","13:15-17:30"],"wed":["08:30-12:30","13:15-17:30"]},"closed":["2026-03-17","2026-04-03..2026-04-06"]}},"rooms":[{"name":"oil room","heated":"always"}],"racks":[{"name":"drip-1","room":"oil room","slots":36,"purpose":"dry"},{"name":"loft","room":"oil room","slots":240,"purpose":"cure"},{"name":"shelf","room":"oil room","slots":12,"purpose":"dry_and_cure"}],"finishes":[{"name":"house oil","kind":"polymerised drying oil","sheet":{"title":"maker''s technical sheet","revised":"2025-04-01"},"soak":"10m..20m","recoat":"20h..6d","cure":"21d","at":23.0,"lowest":10.0,"dampest":80.0,"q10":2.0,"spread":18.0,"spread_bare":12.0,"voc":420.0,"air_limit":{"mg_m3":350.0,"basis":"occupational limit on the sheet, 8 h"},"lower_flammable":{"mg_m3":40000.0,"basis":"lower flammable limit on the sheet"},"keeps":"6 months","contains":["walnut"],"self_heating":true,"from_class":{}},{"name":"hard wax","kind":"hardwax oil","sheet":null,"soak":"5m..15m","recoat":"12h..4d","cure":"48h","at":20.0,"lowest":10.0,"dampest":80.0,"q10":2.5,"spread":24.0,"spread_bare":20.0,"voc":null,"air_limit":null,"keeps":"1 year","contains":null,"self_heating":true,"from_class":{"at":"common practice","dampest":"common practice","keeps":"common practice","lowest":"common practice","q10":"66 kJ/mol for linolenic acid (J. Agric. Food Chem. 53, 2005, abstract read), well above room temperature","self_heating":"see R1 and R4","soak":"common practice","spread":"common practice, of 20 to 40 wiped very thin","spread_bare":"common practice, of 20 to 40 wiped very thin"}}],"pieces":[{"name":"pinch bowl","wood":"beech","per_blank":2,"size":{"outline":[[0.0,0.0],[0.0,40.0],[12.0,62.0],[38.0,66.0],[38.0,60.0],[8.0,30.0],[8.0,0.0]]}},{"name":"spoon rest","wood":null,"per_blank":1,"size":{"area":150.0}}],"recipes":[{"name":"two coats","piece":"pinch bowl","steps":[{"kind":"work","name":"turn","each":"6m","rest":null},{"kind":"sand","grit":"P240","each":"30s","strip":10,"rest":null},{"kind":"raise","with":"water","each":"8s","rest":{"at_least":"4h"}},{"kind":"coat","finish":"house oil","each":"22s","wipe":"18s","rest":null},{"kind":"rub","grit":"P400","each":"15s","strip":12,"rest":{"between":"10m..4h"}},{"kind":"coat","finish":"house oil","each":"20s","wipe":"18s","rest":null},{"kind":"cure","finish":"house oil","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]}]},"revisions":{"one coat":1,"two coats":2},"text":"# The shop of the golden ledgers: every key of a setup file once.\n\n[shop]\nname = \"Sorrel Lane Turnery\"\ntimezone = \"Europe/Dublin\"\nhands = 1\nclosed = [\"2026-03-17\", \"2026-04-03..2026-04-06\"]\n\n[shop.hours]\nmon = [\"08:30-12:30\", \"13:15-17:30\"]\ntue = [\"08:30-12:30\", \"13:15-17:30\"]\nwed = [\"08:30-12:30\", \"13:15-17:30\"]\nthu = [\"08:30-12:30\", \"13:15-17:30\"]\nfri = [\"08:30-12:30\", \"13:15-16:00\"]\n\n[[room]]\nname = \"oil room\"\nheated = \"always\"\n\n[[rack]]\nname = \"drip-1\"\nroom = \"oil room\"\nslots = 36\nuse = [\"dry\"]\n\n[[rack]]\nname = \"loft\"\nroom = \"oil room\"\nslots = 240\nuse = [\"cure\"]\n\n[[rack]]\nname = \"shelf\"\nroom = \"oil room\"\nslots = 12\nuse = [\"dry\", \"cure\"]\n\n[[finish]]\nname = \"house oil\"\nkind = \"polymerised drying oil\"\nsheet = { title = \"maker''s technical sheet\", revised = \"2025-04-01\" }\nsoak = \"10m..20m\"\nrecoat = \"20h..6d\"\ncure = \"21d\"\nsheet_temp = 23.0\nmin_temp = 10.0\nmax_humidity = 80\nq10 = 2.0\ncoverage = 18.0\ncoverage_bare = 12.0\nvoc = 420\nair_limit = { mg_m3 = 350, basis = \"occupational limit on the sheet, 8 h\" }\nlower_flammable = { mg_m3 = 40000, basis = \"lower flammable limit on the sheet\" }\nuse_within = \"6 months\"\ncontains = [\"walnut\"]\nself_heating = true\n\n[[finish]]\nname = \"hard wax\" # its sheet is short: the class supplies the rest\nkind = \"hardwax oil\"\nrecoat = \"12h..4d\"\ncure = \"2d\"\n\n[[piece]]\nname = \"pinch bowl\"\nwood = \"beech\"\npieces_per_blank = 2\nprofile = [[0, 0], [0, 40], [12, 62], [38, 66], [38, 60], [8, 30], [8, 0]]\n\n[[piece]]\nname = \"spoon rest\"\narea_cm2 = 150\n\n[[recipe]]\nname = \"two coats\"\npiece = \"pinch bowl\"\nsteps = [\n  { work = \"turn\", each = \"6m\" },\n  { sand = \"P240\", each = \"30s\", strip = 10 },\n  { raise = \"water\", each = \"8s\", rest = \"4h\" },\n  { coat = \"house oil\", each = \"22s\", wipe = \"18s\" },\n  { rub = \"P400\", each = \"15s\", strip = 12, rest = \"10m..4h\" },\n  { coat = \"house oil\", each = \"20s\", wipe = \"18s\" },\n  { cure = \"house oil\" },\n  { work = \"inspect\", each = \"20s\" },\n]\n\n[[recipe]]\nname = \"one coat\"\npiece = \"spoon rest\"\nsteps = [\n  { sand = \"P240\", each = \"30s\" },\n  { coat = \"hard wax\", each = \"20s\" },\n  { cure = \"hard wax\" },\n  { work = \"inspect\", each = \"20s\" },\n]\n"}', NULL, '19162fe25e362678f838e69f787d0987ca3d12017f5d413a4e55c7da9a3176d0', 31, 1);
INSERT INTO entry VALUES (32, '2026-03-03T15:00:00Z', '2026-03-03T15:00:00Z', '{"fact":"touched","lot":"salt-1","stage":"tacky","of_cure":null}', NULL, '1542dfb0cd057697ed2741188335c7dcfa8e8f099064104bbf5ae70473133868', 32, 1);
INSERT INTO entry VALUES (33, '2026-03-04T09:00:00Z', '2026-03-04T09:00:00Z', '{"fact":"touched","lot":"salt-1","stage":"tack-free","of_cure":null}', NULL, '08dd451b97e5ff91275127aed019487c3c990db79fa1b7b4e6a7db150a3950eb', 33, 1);
INSERT INTO entry VALUES (34, '2026-03-04T09:10:00Z', '2026-03-04T09:10:00Z', '{"fact":"step_done","lot":"salt-1","step":5,"pieces":6,"coat":null,"minutes":null,"rack":null}', NULL, 'b2cfcf4715a8afa7ff1d878cb763adf783150f7902a587a094adc962f8bd4138', 34, 1);
INSERT INTO entry VALUES (35, '2026-03-04T09:10:00Z', '2026-03-04T09:10:00Z', '{"fact":"step_done","lot":"salt-2","step":5,"pieces":5,"coat":null,"minutes":null,"rack":null}', NULL, '253fc6c347116e11716b3357e390431833e0ff1863ee3c51c3ee61c00ba02664', 34, 1);
INSERT INTO entry VALUES (36, '2026-03-04T09:15:00Z', '2026-03-04T09:15:00Z', '{"fact":"step_done","lot":"salt-2","step":6,"pieces":5,"coat":{"finish":"house oil","can":"K7","drawn":0.004208},"minutes":null,"rack":null}', '{"reason":"tested on a scrap","overruled":["too-early"]}', 'e76d13e8c313633f7dda23f414d5366cf4a2762eaf8194013828e8b63e6b5e6f', 36, 1);
INSERT INTO entry VALUES (37, '2026-03-04T09:30:00Z', '2026-03-04T09:30:00Z', '{"fact":"step_done","lot":"salt-1","step":6,"pieces":6,"coat":{"finish":"house oil","can":"K7","drawn":0.00505},"minutes":null,"rack":null}', NULL, '83232457c1e70a2cae20f09d2616d9bc1e8b5326606d6a07abc4e42ecbd23885', 37, 1);
INSERT INTO entry VALUES (38, '2026-03-05T16:00:00Z', '2026-03-05T16:00:00Z', '{"fact":"lot_moved","lot":"rest-1","rack":"loft"}', NULL, '29d17858990a46c47c9a0ad51d30b989523434258fefe8b2de0a5d7ad188e38e', 38, 1);
INSERT INTO entry VALUES (39, '2026-03-06T09:00:00Z', '2026-03-06T09:00:00Z', '{"fact":"touched","lot":"rest-1","stage":"tacky","of_cure":{"finish":"hard wax","share":1.9680555555555552}}', NULL, '2724b524346470f722104a490530fd4bddaaf070c7f77c8ca572bebdc87a6990', 39, 1);
INSERT INTO entry VALUES (40, '2026-03-09T09:00:00Z', '2026-03-09T09:00:00Z', '{"fact":"touched","lot":"rest-1","stage":"print-free","of_cure":{"finish":"hard wax","share":3.4680555555555554}}', NULL, '6775141d2aa85a364d0bf151b7ea1cab8ad5f7fee1daa9f29e2fd19435b14594', 40, 1);
INSERT INTO entry VALUES (41, '2026-03-09T09:10:00Z', '2026-03-09T09:10:00Z', '{"fact":"step_done","lot":"rest-1","step":4,"pieces":6,"coat":null,"minutes":null,"rack":null}', NULL, 'd8ddc2b2b138907ae84e47ad3ddc2c0654d9e2a508355489f60f947021f0fc20', 41, 1);
INSERT INTO entry VALUES (42, '2026-03-09T09:20:00Z', '2026-03-09T09:20:00Z', '{"fact":"shipped","to":"a shop in town","lots":[["rest-1",4]]}', NULL, '6886a1846b8a3a12be0d8f3be9428770007a31d4011355a6f38a8ff56e52f9c5', 42, 1);
INSERT INTO entry VALUES (43, '2026-03-09T09:25:00Z', '2026-03-09T09:25:00Z', '{"fact":"lot_moved","lot":"rest-1","rack":null}', NULL, '3b9e5dd6421605c3b462c34b79107beda44aca811b61302e5cf63537cbab4b8f', 43, 1);
INSERT INTO entry VALUES (44, '2026-03-09T09:30:00Z', '2026-03-09T09:30:00Z', '{"fact":"readings_added","room":"oil room","readings":1,"first":"2026-03-09T09:30:00Z","last":"2026-03-09T09:30:00Z","file":null,"digest":"d7b0fc0d4243f32c9a52c5b6863333f9840b107b8e33695bb2b5889983fc9231"}', NULL, '988e9f04a61ad30c97146d5b7e1150016ee5499031913afd7690774893756352', 44, 1);
INSERT INTO entry VALUES (45, '2026-03-09T09:31:00Z', '2026-03-09T09:31:00Z', '{"fact":"voided","entry":44,"why":"the wrong room","touched":[{"kind":"room","name":"oil room"}]}', NULL, 'c8518eb2f037146c0bbfca08764ac896a648df69b0ee2fd1eaec5fb80ccdd362', 45, 1);
INSERT INTO entry VALUES (46, '2026-03-09T09:40:00Z', '2026-03-09T09:40:00Z', '{"fact":"lot_started","lot":"salt-4","recipe":{"name":"two coats","piece":"pinch bowl","steps":[{"kind":"work","name":"turn","each":"6m","rest":null},{"kind":"sand","grit":"P240","each":"30s","strip":10,"rest":null},{"kind":"raise","with":"water","each":"8s","rest":{"at_least":"4h"}},{"kind":"coat","finish":"house oil","each":"22s","wipe":"18s","rest":null},{"kind":"rub","grit":"P400","each":"15s","strip":12,"rest":{"between":"10m..4h"}},{"kind":"coat","finish":"house oil","each":"20s","wipe":"18s","rest":null},{"kind":"cure","finish":"house oil","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":2,"pieces":8,"rack":"shelf","from_step":4}', NULL, '9c991dc22c8878be6b5559f972b4145fdefd42fa822b881dfab393f6f0497efb', 46, 1);
INSERT INTO entry VALUES (47, '2026-03-09T09:45:00Z', '2026-03-09T09:45:00Z', '{"fact":"plan_kept","digest":"6996d20c474836951262dc512b479f214daef6a64fdf782fa1900003ca69f5ef"}', NULL, '17ea897da992d39110656479fe60fedbfa792b0ec321d4f1282c0a273510fde8', 47, 1);
INSERT INTO entry VALUES (48, '2026-03-09T09:50:00Z', '2026-03-09T10:00:00Z', '{"fact":"pieces_rejected","lot":"salt-4","pieces":1,"why":"tool mark","step":4}', NULL, '316303e16d4522f930fb8b7c6e14f80e7853881c2ccc016dc585cf9553c3a891', 48, 1);
INSERT INTO entry VALUES (49, '2026-03-10T09:00:00Z', '2026-03-10T09:00:00Z', '{"fact":"plan_kept","digest":"45ab1680f9d0cf3458b9f23895eb9b4e5d831f0a28b9591cc637e895fdf77427"}', NULL, 'ba64e05de2b4d3f156682872b603e85bd8b95d6469caac919e56de292e0118f4', 49, 1);
INSERT INTO entry VALUES (50, '2026-03-10T09:10:00Z', '2026-03-10T09:10:00Z', '{"fact":"touched","lot":"salt-2","stage":"tacky","of_cure":{"finish":"house oil","share":0.24035381513300885}}', NULL, '6646e40c0077dd07d718b33d230a8ff7c65dff29c61ce00f3cf5ea02705d964d', 50, 1);
INSERT INTO entry VALUES (51, '2026-03-10T09:11:00Z', '2026-03-10T09:11:00Z', '{"fact":"voided","entry":50,"why":"recorded by mistake","touched":[{"kind":"batch","name":"salt"},{"kind":"lot","name":"salt-2"},{"kind":"finish","name":"house oil"}]}', NULL, 'b74e464ac2cfd8c65f486fc42a1f090a705bd4a91fbee275bce0f0897e812f1d', 51, 1);
INSERT INTO entry VALUES (52, '2026-03-10T10:00:00Z', '2026-03-10T10:00:00Z', '{"fact":"batch_opened","batch":"cup","recipe":"one coat","pieces":10,"due":"2026-04-24","customer":"the café","wanted":"2026-04-17"}', NULL, '659a47d1857bdb352c8fc98ee443c3c534bf4deaa08b9b72255d5249601f1dd3', 52, 1);
INSERT INTO entry VALUES (53, '2026-03-10T10:01:00Z', '2026-03-10T10:01:00Z', '{"fact":"batch_changed","batch":"cup","pieces":12,"due":"2026-04-24","wanted":"2026-04-17","customer":"the inn"}', NULL, '5bc115a14564a1fa93e2d46a12c4bedece6e3fdee33968633c8e3a54a6ddc769', 53, 1);
INSERT INTO entry VALUES (54, '2026-03-10T10:02:00Z', '2026-03-10T10:02:00Z', '{"fact":"batch_changed","batch":"cup","pieces":12,"due":"2026-04-29","wanted":"2026-04-17","customer":"the inn"}', NULL, '255acbc706a375fbc22b45c397671351a74305dcb361e4c7f012a21bc4ede669', 54, 1);
INSERT INTO entry VALUES (55, '2026-03-10T10:03:00Z', '2026-03-10T10:03:00Z', '{"fact":"batch_opened","batch":"mug","recipe":"one coat","pieces":4,"due":null,"customer":null}', NULL, 'c3b1ebd245e9bc98fa647c35899d1da0b6b2fdc298c8638757aa4bfa38faaf90', 55, 1);
INSERT INTO entry VALUES (56, '2026-03-10T10:04:00Z', '2026-03-10T10:04:00Z', '{"fact":"noted","about":{"kind":"shop","name":"shop"},"text":"the heater was serviced"}', NULL, '0c4f9ba5b2e0a4906ce7767f853d95ea2248295bdece4e7f553e97a82c24559b', 56, 1);
INSERT INTO entry VALUES (57, '2026-03-10T10:05:00Z', '2026-03-10T10:05:00Z', '{"fact":"noted","about":{"kind":"batch","name":"cup"},"text":"from the pale board"}', NULL, '7dfd2e9e7b3c1374046772e83d3f8638b88c4d903e5e83283c3cddd0a356a80b', 57, 1);
INSERT INTO entry VALUES (58, '2026-03-10T10:06:00Z', '2026-03-10T10:06:00Z', '{"fact":"noted","about":{"kind":"can","name":"W1"},"text":"stir it well"}', NULL, 'c97d8e4cbef50b164780600ece31bba348d7a46568856bda7a299fbdf75a1d65', 58, 1);
INSERT INTO entry VALUES (59, '2026-03-10T10:10:00Z', '2026-03-10T10:10:00Z', '{"fact":"lot_started","lot":"cup-1","recipe":{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":1,"pieces":14,"rack":null,"from_step":1}', NULL, '34ce240d26e8c3072e7139be2c8565fcff07e95811f32434d2e56556e0e16440', 59, 1);
INSERT INTO entry VALUES (60, '2026-03-10T10:20:00Z', '2026-03-10T10:20:00Z', '{"fact":"step_done","lot":"cup-1","step":1,"pieces":14,"coat":null,"minutes":8,"rack":null,"timed":{"recipe":"one coat","step":{"name":"sand P240","nth":1},"before":0}}', NULL, '9290c9188cec86c0a7abd49cf0a380a9137aa141c91b15683b40f967bf1219ca', 60, 1);
INSERT INTO entry VALUES (61, '2026-03-10T10:30:00Z', '2026-03-10T10:30:00Z', '{"fact":"step_begun","lot":"cup-1","step":2,"rack":"drip-1"}', NULL, 'd116bdb340e2ee1e0632836b9ecbf3d331ee7b0f65a794c18f36692c7e339f5f', 61, 1);
INSERT INTO entry VALUES (62, '2026-03-10T10:35:00Z', '2026-03-10T10:35:00Z', '{"fact":"lot_split","lot":"cup-1","into":"cup-2","pieces":5,"rack":null,"not_begun":true}', NULL, 'e73f6f86164c9baea88f004008bbe49fec314c5d25be0a433a18a15458769da6', 62, 1);
INSERT INTO entry VALUES (63, '2026-03-10T10:35:00Z', '2026-03-10T10:35:00Z', '{"fact":"step_done","lot":"cup-1","step":2,"pieces":9,"coat":{"finish":"hard wax","can":"W1","drawn":0.00675},"minutes":null,"rack":null}', NULL, '95663269ffbd55f2e2d04d6e29f17c07c8326d92fa24b357d4b55b5285a30d29', 62, 1);
INSERT INTO entry VALUES (64, '2026-03-10T10:50:00Z', '2026-03-10T10:50:00Z', '{"fact":"step_done","lot":"cup-2","step":2,"pieces":5,"coat":{"finish":"hard wax","can":"W1","drawn":0.00375},"minutes":null,"rack":null}', NULL, 'a66b1e2bf049f3ae68ca35891dd34422507b4e01f4b223e3f8be524bc8156515', 64, 1);
INSERT INTO entry VALUES (65, '2026-03-10T10:55:00Z', '2026-03-10T10:55:00Z', '{"fact":"noted","about":{"kind":"lot","name":"cup-2"},"text":"the dark ones"}', NULL, '2d98940b31f0d2ce0055cab951805b67ebe23f9e51770309937475e46666a472', 65, 1);
INSERT INTO entry VALUES (66, '2026-03-10T11:00:00Z', '2026-03-10T11:00:00Z', '{"fact":"rags_dealt_with","rags":[{"coat":29,"lot":"salt-1"},{"coat":30,"lot":"salt-2"},{"coat":36,"lot":"salt-2"},{"coat":37,"lot":"salt-1"},{"coat":63,"lot":"cup-1"},{"coat":64,"lot":"cup-2"}],"how":"soaked in water"}', NULL, 'ea4e45485456ebd96aec1d5940c872f728abaca22d8f4e73cfb7a0869d0cbcf7', 66, 1);
INSERT INTO entry VALUES (67, '2026-03-11T09:00:00Z', '2026-03-11T09:00:00Z', '{"fact":"readings_added","room":"oil room","readings":1,"first":"2026-03-11T09:00:00Z","last":"2026-03-11T09:00:00Z","file":null,"digest":"340aad9bc174c5aa82adbe76678b29138f63951533235c8d91af04e141a8b60b"}', NULL, '2aa4f866da99039f2b66aaf30ef3ee0c5db1e5d06469365b63e533fa99e86884', 67, 1);
INSERT INTO entry VALUES (68, '2026-03-11T09:05:00Z', '2026-03-11T09:05:00Z', '{"fact":"lot_started","lot":"mug-1","recipe":{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":1,"pieces":4,"rack":"drip-1","from_step":2,"did":[{"step":1,"at":"2026-03-10T16:00:00Z","can":null}]}', NULL, '3ee6ff0cfdc3576d90e683e372da92992fbb113a2a92e5ed631359c1b5d5fdcc', 68, 1);
INSERT INTO entry VALUES (69, '2026-03-11T09:20:00Z', '2026-03-11T09:20:00Z', '{"fact":"step_done","lot":"mug-1","step":2,"pieces":4,"coat":{"finish":"hard wax","can":"W1","drawn":0.003},"minutes":null,"rack":null}', NULL, '3a9d18defb424f7f428322b2976a25986396d051d91f9b522eaedf4747a03be1', 69, 1);
INSERT INTO entry VALUES (70, '2026-03-11T09:30:00Z', '2026-03-11T09:30:00Z', '{"fact":"batch_cancelled","batch":"mug","why":"not wanted any more"}', NULL, '3a221eed6ff90255c09ed46b330a5be1637b0d9a1840490a7d0c09c7f7ab1749', 70, 1);
INSERT INTO entry VALUES (71, '2026-03-11T09:31:00Z', '2026-03-11T09:31:00Z', '{"fact":"lot_given","lot":"mug-1","into":"cup-3"}', NULL, 'ca08762c32f885e7c92dcf1c15674bdaab025fd52e238f78fd9883da657cff27', 71, 1);
INSERT INTO entry VALUES (72, '2026-03-11T09:40:00Z', '2026-03-11T09:40:00Z', '{"fact":"lot_started","lot":"cup-4","recipe":{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":1,"pieces":2,"rack":"drip-1","from_step":4,"did":[{"step":2,"at":"2026-03-10T16:00:00Z","can":"W1"}]}', NULL, 'e1d5e89a6a33950251faf683f11de7172379f301109d9c61e3fee7f0e83420da', 72, 1);
INSERT INTO entry VALUES (73, '2026-03-21T09:00:00Z', '2026-03-21T09:00:00Z', '{"fact":"lot_split","lot":"cup-1","into":"cup-5","pieces":3,"rack":null,"not_begun":true}', NULL, '39ccfd76e536525951ca0e45acb464034787c0ea1dc3a50e513439a911e44bc6', 73, 1);
INSERT INTO entry VALUES (74, '2026-03-21T09:00:00Z', '2026-03-21T09:00:00Z', '{"fact":"step_done","lot":"cup-1","step":4,"pieces":6,"coat":null,"minutes":3,"rack":null,"timed":{"recipe":"one coat","step":{"name":"inspect","nth":1},"before":0}}', NULL, 'e36c48863866f6c8894e030d6b8504a36e6a6fc45a7fb7772218d92110a7ad13', 73, 1);
INSERT INTO entry VALUES (75, '2026-03-21T09:05:00Z', '2026-03-21T09:05:00Z', '{"fact":"step_done","lot":"cup-5","step":4,"pieces":3,"coat":null,"minutes":null,"rack":null}', NULL, '2bf0d6a8c9a62441652209e1fb35d972f2932a80722ea397964a59cfeed5d5af', 75, 1);
INSERT INTO entry VALUES (76, '2026-03-21T09:10:00Z', '2026-03-21T09:10:00Z', '{"fact":"lot_joined","lot":"cup-1","from":"cup-5"}', NULL, '991b433a44e531effcc7a0490e93532f2d0a0c1cb71904cf16667fbea666a76b', 76, 1);
INSERT INTO entry VALUES (77, '2026-03-21T09:11:00Z', '2026-03-21T09:11:00Z', '{"fact":"lot_held","lot":"cup-3","why":"one is scratched"}', NULL, '13531ef6f2741a335784cbdbf55740cc91ee76ceb2ebf0bcc0d0523078531753', 77, 1);
INSERT INTO entry VALUES (78, '2026-03-21T09:12:00Z', '2026-03-21T09:12:00Z', '{"fact":"lot_reworked","lot":"cup-1","into":"cup-6","pieces":2,"from_step":1,"why":"streaks"}', NULL, 'f04ddafe2be3c175fed19f1225894d63c5f3cfce83e3b1e6129788fcc5eac29f', 78, 1);
INSERT INTO entry VALUES (79, '2026-03-21T09:13:00Z', '2026-03-21T09:13:00Z', '{"fact":"lot_reworked","lot":"cup-2","into":"cup-2","pieces":5,"from_step":2,"why":"a dry patch"}', NULL, '62e549d06f00c820fd5d63bb885c498380e8dba2fba88dafbf57344418b1277d', 79, 1);
INSERT INTO entry VALUES (80, '2026-03-21T09:14:00Z', '2026-03-21T09:14:00Z', '{"fact":"pieces_rejected","lot":"cup-1","pieces":1,"why":"cracked","step":1}', NULL, 'bd2886756f8a3ad8035e623c8d52786801dccf1ba47b8b52fe54a0be6760771a', 80, 1);
INSERT INTO entry VALUES (81, '2026-03-21T09:15:00Z', '2026-03-21T09:15:00Z', '{"fact":"lot_split","lot":"cup-3","into":"cup-7","pieces":1,"rack":null}', NULL, '1972fa5e1f05d95a8e54dc9e3960a37bd3c8b4ff0d7d34a5fe79b7ee3a772273', 81, 1);
INSERT INTO entry VALUES (82, '2026-03-21T09:20:00Z', '2026-03-21T09:20:00Z', '{"fact":"shipped","to":"the inn","lots":[["cup-1",4]]}', NULL, 'e62b003e8d765cdcc013539664d30c9f617ef6d1d06836d9c2c0e3d508dbe8c2', 82, 1);
INSERT INTO entry VALUES (83, '2026-03-21T09:21:00Z', '2026-03-21T09:21:00Z', '{"fact":"shipped","to":"the inn","lots":[["cup-1",2]]}', NULL, 'ac3b40a35f4ff51f53f0902a63dce5ab55ef4043f0ca5549f90d27652d417f99', 83, 1);
INSERT INTO entry VALUES (84, '2026-03-21T09:30:00Z', '2026-03-21T09:30:00Z', '{"fact":"shipment_cancelled","shipment":83,"lots":["cup-1"],"why":"the courier refused it"}', NULL, '70628841a06197e45fa2b8567e391bcad0bfe3d585ce769536423c14d4490391', 84, 1);
INSERT INTO entry VALUES (85, '2026-03-22T09:00:00Z', '2026-03-22T09:00:00Z', '{"fact":"pieces_returned","shipment":82,"lot":"cup-1","into":"cup-8","pieces":1,"why":"sticky"}', NULL, '48a7f47a0c6eb54da4d3c9dccf5af70578c6a85718ec785fdea95205e54c668d', 85, 1);
INSERT INTO entry VALUES (86, '2026-03-22T09:10:00Z', '2026-03-22T09:10:00Z', '{"fact":"voided","entry":85,"why":"recorded by mistake","touched":[{"kind":"batch","name":"cup"},{"kind":"lot","name":"cup-1"},{"kind":"lot","name":"cup-8"},{"kind":"shipment","name":"82"}]}', NULL, 'c92e72aab090a1bc1821a171af3577b422072933584eae94540059e95c201d62', 86, 1);
INSERT INTO entry VALUES (87, '2026-03-22T09:11:00Z', '2026-03-22T09:11:00Z', '{"fact":"voided","entry":86,"why":"recorded by mistake","touched":[{"kind":"batch","name":"cup"},{"kind":"lot","name":"cup-1"},{"kind":"lot","name":"cup-8"},{"kind":"shipment","name":"82"}]}', NULL, 'e15c3cbdc2086b002d9ffba7eec22cdd6329eb1c615c9f4ba6a2d4ee199db374', 87, 1);
INSERT INTO entry VALUES (88, '2026-03-22T09:20:00Z', '2026-03-22T09:20:00Z', '{"fact":"step_done","lot":"cup-6","step":1,"pieces":2,"coat":null,"minutes":null,"rack":null}', NULL, 'f44ca7da675a2c10961ed5244d2858b474d0385bf110b407b22997c5f04197ba', 88, 1);
INSERT INTO entry VALUES (89, '2026-03-22T09:25:00Z', '2026-03-22T09:25:00Z', '{"fact":"noted","about":{"kind":"shipment","name":"82"},"text":"the box was wet"}', NULL, '40ab43c7aef140a95a963a76bc59bfdf964c76de3846db9ccb0bb59354bef65a', 89, 1);
INSERT INTO entry VALUES (90, '2026-03-22T09:30:00Z', '2026-03-22T09:30:00Z', '{"fact":"plan_kept","digest":"d2b525246bcd08c2a47d41f251605cd41ad6b2b6ac74fa4eeb4730c6b121154a"}', NULL, 'e710367e1f318eb2343a3a5ddd7fb23a71a1ce084fec186cb8dc0bff556d3f1b', 90, 1);
CREATE TABLE open_now (
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (kind, name)
) STRICT, WITHOUT ROWID;
INSERT INTO open_now VALUES ('batch', 'cup');
INSERT INTO open_now VALUES ('batch', 'rest');
INSERT INTO open_now VALUES ('batch', 'salt');
INSERT INTO open_now VALUES ('can', 'K7');
INSERT INTO open_now VALUES ('can', 'W1');
INSERT INTO open_now VALUES ('rags', '69');
CREATE TABLE calendar_event (
    uid   TEXT PRIMARY KEY,
    event TEXT NOT NULL CHECK (json_valid(event))
) STRICT, WITHOUT ROWID;
CREATE TABLE reminder (
    thing   TEXT NOT NULL,                   -- the same while it is the same thing at the same stage
    channel TEXT NOT NULL,                   -- who is told; empty for what a person put off, whoever tells it
    state   TEXT NOT NULL CHECK (state IN ('claimed', 'told', 'later', 'cleared')),
    turn    INTEGER NOT NULL,                -- grows with each claim, so that only the last claimant marks it
    since   TEXT NOT NULL,                   -- in this state, RFC 3339, UTC
    until   TEXT,                            -- a claim's lease, or for how long it is put off
    PRIMARY KEY (thing, channel)
) STRICT, WITHOUT ROWID;
CREATE TABLE notice (
    tag    TEXT PRIMARY KEY,
    stands TEXT NOT NULL CHECK (json_valid(stands))
) STRICT, WITHOUT ROWID;
CREATE TABLE memo (
    what TEXT PRIMARY KEY,
    said TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_by_act ON entry (act) WHERE act NOT NULL;
CREATE TABLE plan (
    digest TEXT PRIMARY KEY,                 -- SHA-256 of the text
    plan   TEXT NOT NULL CHECK (json_valid(plan))
) STRICT;
INSERT INTO plan VALUES ('6996d20c474836951262dc512b479f214daef6a64fdf782fa1900003ca69f5ef', '{"now":"2026-03-09T09:45:00Z","batches":[{"batch":"rest","ready_at":"2026-03-09T09:10:00Z","due":"2026-03-27","days_late":-18,"limited_by":"nothing","to_start":0},{"batch":"salt","ready_at":"2026-04-07T07:34:00Z","due":null,"days_late":null,"limited_by":"hands","to_start":2}],"steps":[{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":1,"name":"turn","kind":"work","start":"2026-03-09T09:45:00Z","end":"2026-03-09T09:57:00Z","latest_start":"2026-03-11T12:16:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":2,"name":"sand P240","kind":"sand","start":"2026-03-09T09:57:00Z","end":"2026-03-09T09:58:00Z","latest_start":"2026-03-11T12:28:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":3,"name":"raise with water","kind":"raise","start":"2026-03-09T09:58:00Z","end":"2026-03-09T09:59:00Z","latest_start":"2026-03-11T12:29:00Z","rack":null},{"lot":"salt-4","batch":"salt","pieces":8,"to_start":false,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-09T13:40:00Z","end":"2026-03-09T13:54:00Z","latest_start":"2026-03-11T16:44:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-09T13:59:00Z","end":"2026-03-09T14:11:00Z","latest_start":"2026-03-11T17:11:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":8,"to_start":false,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-10T13:39:00Z","end":"2026-03-10T13:41:00Z","latest_start":"2026-03-12T16:43:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":8,"to_start":false,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-10T13:51:00Z","end":"2026-03-10T14:04:00Z","latest_start":"2026-03-12T16:55:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-10T14:04:00Z","end":"2026-03-10T14:05:00Z","latest_start":"2026-03-12T17:08:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-10T14:15:00Z","end":"2026-03-10T14:26:00Z","latest_start":"2026-03-12T17:19:00Z","rack":"shelf"},{"lot":"salt-2","batch":"salt","pieces":5,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-03-30T07:30:00Z","end":"2026-03-30T07:32:00Z","latest_start":"2026-03-30T07:30:00Z","rack":null},{"lot":"salt-1","batch":"salt","pieces":6,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-03-30T07:32:00Z","end":"2026-03-30T07:34:00Z","latest_start":"2026-03-30T07:32:00Z","rack":null},{"lot":"salt-4","batch":"salt","pieces":8,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-07T07:30:00Z","end":"2026-04-07T07:33:00Z","latest_start":"2026-04-07T07:30:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-07T07:33:00Z","end":"2026-04-07T07:34:00Z","latest_start":"2026-04-07T07:33:00Z","rack":null}],"stays":[{"lot":"salt-1","pieces":6,"rack":"loft","cures":true,"from":"2026-03-09T09:45:00Z","until":"2026-03-29T08:18:00Z"},{"lot":"salt-2","pieces":5,"rack":"loft","cures":true,"from":"2026-03-09T09:45:00Z","until":"2026-03-29T08:03:00Z"},{"lot":"salt-4","pieces":8,"rack":"shelf","cures":false,"from":"2026-03-09T09:45:00Z","until":"2026-03-11T13:49:00Z"},{"lot":"salt-5","pieces":2,"rack":"shelf","cures":false,"from":"2026-03-09T13:59:00Z","until":"2026-03-11T14:11:00Z"},{"lot":"salt-4","pieces":8,"rack":"loft","cures":true,"from":"2026-03-11T13:49:00Z","until":"2026-04-04T12:50:00Z"},{"lot":"salt-5","pieces":2,"rack":"loft","cures":true,"from":"2026-03-11T14:11:00Z","until":"2026-04-04T13:12:00Z"}],"missed":[],"waits":[{"finish":"house oil","shortest":1425,"longest":8640,"cure":35926},{"finish":"hard wax","shortest":720,"longest":5028,"cure":9988}],"ready_at":"2026-04-07T07:34:00Z","bound":{"ready_at":"2026-04-07T07:34:00Z","gap_percent":0.0,"lateness":0,"by":"hands"},"lateness":0,"idle":55377,"held":[],"evaluations":0,"seed":1}');
INSERT INTO plan VALUES ('45ab1680f9d0cf3458b9f23895eb9b4e5d831f0a28b9591cc637e895fdf77427', '{"now":"2026-03-10T09:00:00Z","batches":[{"batch":"rest","ready_at":"2026-03-09T09:10:00Z","due":"2026-03-27","days_late":-18,"limited_by":"nothing","to_start":0},{"batch":"salt","ready_at":"2026-04-07T07:34:00Z","due":null,"days_late":null,"limited_by":"hands","to_start":3}],"steps":[{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-10T09:00:00Z","end":"2026-03-10T09:13:00Z","latest_start":"2026-03-11T16:43:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":1,"name":"turn","kind":"work","start":"2026-03-10T09:13:00Z","end":"2026-03-10T09:31:00Z","latest_start":"2026-03-11T12:09:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":2,"name":"sand P240","kind":"sand","start":"2026-03-10T09:31:00Z","end":"2026-03-10T09:33:00Z","latest_start":"2026-03-11T12:27:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":3,"name":"raise with water","kind":"raise","start":"2026-03-10T09:33:00Z","end":"2026-03-10T09:34:00Z","latest_start":"2026-03-11T12:29:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-10T13:34:00Z","end":"2026-03-10T13:46:00Z","latest_start":"2026-03-11T17:09:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-11T08:59:00Z","end":"2026-03-11T09:01:00Z","latest_start":"2026-03-12T16:42:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-11T09:11:00Z","end":"2026-03-11T09:24:00Z","latest_start":"2026-03-12T16:54:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-11T13:32:00Z","end":"2026-03-11T13:33:00Z","latest_start":"2026-03-12T17:07:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-11T13:43:00Z","end":"2026-03-11T13:55:00Z","latest_start":"2026-03-12T17:18:00Z","rack":"shelf"},{"lot":"salt-2","batch":"salt","pieces":5,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-03-30T07:30:00Z","end":"2026-03-30T07:32:00Z","latest_start":"2026-03-30T07:30:00Z","rack":null},{"lot":"salt-1","batch":"salt","pieces":6,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-03-30T07:32:00Z","end":"2026-03-30T07:34:00Z","latest_start":"2026-03-30T07:32:00Z","rack":null},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-07T07:30:00Z","end":"2026-04-07T07:33:00Z","latest_start":"2026-04-07T07:30:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-07T07:33:00Z","end":"2026-04-07T07:34:00Z","latest_start":"2026-04-07T07:33:00Z","rack":null}],"stays":[{"lot":"salt-1","pieces":6,"rack":"loft","cures":true,"from":"2026-03-10T09:00:00Z","until":"2026-03-29T08:18:00Z"},{"lot":"salt-2","pieces":5,"rack":"loft","cures":true,"from":"2026-03-10T09:00:00Z","until":"2026-03-29T08:03:00Z"},{"lot":"salt-4","pieces":7,"rack":"shelf","cures":false,"from":"2026-03-10T09:00:00Z","until":"2026-03-12T09:10:00Z"},{"lot":"salt-5","pieces":3,"rack":"shelf","cures":false,"from":"2026-03-10T13:34:00Z","until":"2026-03-12T13:41:00Z"},{"lot":"salt-4","pieces":7,"rack":"loft","cures":true,"from":"2026-03-12T09:10:00Z","until":"2026-04-05T08:12:00Z"},{"lot":"salt-5","pieces":3,"rack":"loft","cures":true,"from":"2026-03-12T13:41:00Z","until":"2026-04-05T12:43:00Z"}],"missed":[],"waits":[{"finish":"house oil","shortest":1426,"longest":8640,"cure":35928},{"finish":"hard wax","shortest":720,"longest":5028,"cure":9988}],"ready_at":"2026-04-07T07:34:00Z","bound":{"ready_at":"2026-04-07T07:34:00Z","gap_percent":0.0,"lateness":0,"by":"hands"},"lateness":0,"idle":42975,"held":[],"evaluations":0,"seed":1}');
INSERT INTO plan VALUES ('d2b525246bcd08c2a47d41f251605cd41ad6b2b6ac74fa4eeb4730c6b121154a', '{"now":"2026-03-22T09:30:00Z","batches":[{"batch":"cup","ready_at":"2026-04-02T08:16:00Z","due":"2026-04-29","days_late":-27,"limited_by":"hands","to_start":0},{"batch":"rest","ready_at":"2026-03-12T10:41:42Z","due":"2026-03-27","days_late":-15,"limited_by":"nothing","to_start":0},{"batch":"salt","ready_at":"2026-04-28T10:33:00Z","due":null,"days_late":null,"limited_by":"hands","to_start":3}],"steps":[{"lot":"cup-2","batch":"cup","pieces":5,"to_start":false,"begun":false,"step":2,"name":"coat hard wax","kind":"coat","start":"2026-03-23T08:30:00Z","end":"2026-03-23T08:32:00Z","latest_start":"2026-03-23T08:30:00Z","rack":"drip-1"},{"lot":"cup-4","batch":"cup","pieces":2,"to_start":false,"begun":false,"step":4,"name":"inspect","kind":"work","start":"2026-03-23T08:32:00Z","end":"2026-03-23T08:33:00Z","latest_start":"2026-03-23T08:32:00Z","rack":null},{"lot":"cup-6","batch":"cup","pieces":2,"to_start":false,"begun":false,"step":2,"name":"coat hard wax","kind":"coat","start":"2026-03-23T08:33:00Z","end":"2026-03-23T08:34:00Z","latest_start":"2026-03-23T08:33:00Z","rack":"drip-1"},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-23T08:34:00Z","end":"2026-03-23T08:47:00Z","latest_start":"2026-03-23T08:50:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":1,"name":"turn","kind":"work","start":"2026-03-23T08:54:00Z","end":"2026-03-23T09:12:00Z","latest_start":"2026-03-23T12:12:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":2,"name":"sand P240","kind":"sand","start":"2026-03-23T09:12:00Z","end":"2026-03-23T09:14:00Z","latest_start":"2026-03-23T13:15:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":3,"name":"raise with water","kind":"raise","start":"2026-03-23T09:14:00Z","end":"2026-03-23T09:15:00Z","latest_start":"2026-03-23T13:17:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-23T13:15:00Z","end":"2026-03-23T13:27:00Z","latest_start":"2026-03-23T17:18:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-24T17:29:00Z","end":"2026-03-25T08:31:00Z","latest_start":"2026-03-24T17:29:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-25T08:31:00Z","end":"2026-03-25T08:32:00Z","latest_start":"2026-03-25T08:40:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-25T08:41:00Z","end":"2026-03-25T08:54:00Z","latest_start":"2026-03-25T08:41:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-25T08:54:00Z","end":"2026-03-25T09:06:00Z","latest_start":"2026-03-25T08:54:00Z","rack":"shelf"},{"lot":"cup-2","batch":"cup","pieces":5,"to_start":false,"begun":false,"step":4,"name":"inspect","kind":"work","start":"2026-04-02T08:13:00Z","end":"2026-04-02T08:15:00Z","latest_start":"2026-04-02T08:13:00Z","rack":null},{"lot":"cup-6","batch":"cup","pieces":2,"to_start":false,"begun":false,"step":4,"name":"inspect","kind":"work","start":"2026-04-02T08:15:00Z","end":"2026-04-02T08:16:00Z","latest_start":"2026-04-02T08:15:00Z","rack":null},{"lot":"salt-2","batch":"salt","pieces":5,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-07T11:26:00Z","end":"2026-04-07T11:28:00Z","latest_start":"2026-04-07T11:26:00Z","rack":null},{"lot":"salt-1","batch":"salt","pieces":6,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-07T12:15:00Z","end":"2026-04-07T12:17:00Z","latest_start":"2026-04-07T12:15:00Z","rack":null},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-28T10:20:00Z","end":"2026-04-28T10:23:00Z","latest_start":"2026-04-28T10:20:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-28T10:32:00Z","end":"2026-04-28T10:33:00Z","latest_start":"2026-04-28T10:32:00Z","rack":null}],"stays":[{"lot":"cup-2","pieces":5,"rack":"drip-1","cures":false,"from":"2026-03-22T09:30:00Z","until":"2026-03-24T01:51:00Z"},{"lot":"cup-6","pieces":2,"rack":"drip-1","cures":false,"from":"2026-03-22T09:30:00Z","until":"2026-03-24T01:53:00Z"},{"lot":"salt-1","pieces":6,"rack":"loft","cures":true,"from":"2026-03-22T09:30:00Z","until":"2026-04-07T11:41:00Z"},{"lot":"salt-2","pieces":5,"rack":"loft","cures":true,"from":"2026-03-22T09:30:00Z","until":"2026-04-07T11:26:00Z"},{"lot":"salt-4","pieces":7,"rack":"shelf","cures":false,"from":"2026-03-22T09:30:00Z","until":"2026-03-26T17:20:00Z"},{"lot":"salt-5","pieces":3,"rack":"shelf","cures":false,"from":"2026-03-23T13:15:00Z","until":"2026-03-26T17:32:00Z"},{"lot":"cup-2","pieces":5,"rack":"loft","cures":true,"from":"2026-03-24T01:51:00Z","until":"2026-04-02T08:13:00Z"},{"lot":"cup-6","pieces":2,"rack":"loft","cures":true,"from":"2026-03-24T01:53:00Z","until":"2026-04-02T08:15:00Z"},{"lot":"salt-4","pieces":7,"rack":"loft","cures":true,"from":"2026-03-26T17:20:00Z","until":"2026-04-28T10:20:00Z"},{"lot":"salt-5","pieces":3,"rack":"loft","cures":true,"from":"2026-03-26T17:32:00Z","until":"2026-04-28T10:32:00Z"}],"missed":[],"waits":[{"finish":"house oil","shortest":1946,"longest":8640,"cure":49046},{"finish":"hard wax","shortest":1039,"longest":4797,"cure":14381}],"ready_at":"2026-04-28T10:33:00Z","bound":{"ready_at":"2026-04-28T10:33:00Z","gap_percent":0.0,"lateness":0,"by":"hands"},"lateness":0,"idle":24384,"held":["cup-3","cup-7","cup-8"],"evaluations":0,"seed":1}');
CREATE TABLE "reading" (
    room     TEXT NOT NULL,
    at       INTEGER NOT NULL,               -- seconds since 1970-01-01 UTC
    temp     REAL,                           -- °C; none where the extremes alone were read
    humidity REAL,                           -- % relative, over water
    surface  REAL,                           -- °C of the pieces, where it was measured
    lowest   REAL,                           -- °C, the coldest since the reading before
    highest  REAL,                           -- °C, the warmest since then
    entry    INTEGER NOT NULL REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    PRIMARY KEY (room, at),
    CHECK (temp IS NOT NULL OR (lowest IS NOT NULL AND highest IS NOT NULL))
) STRICT, WITHOUT ROWID;
INSERT INTO reading VALUES ('oil room', 1772438400, 20.5, 50.0, NULL, NULL, NULL, 11);
INSERT INTO reading VALUES ('oil room', 1772440200, 21.0, 51.0, NULL, NULL, NULL, 11);
INSERT INTO reading VALUES ('oil room', 1772442000, 21.5, NULL, NULL, NULL, NULL, 11);
INSERT INTO reading VALUES ('oil room', 1772442300, 21.5, 52.0, 20.0, NULL, NULL, 10);
INSERT INTO reading VALUES ('oil room', 1773219600, NULL, NULL, NULL, 16.0, 22.0, 67);
CREATE TABLE "reading_gone" (
    room     TEXT NOT NULL,
    at       INTEGER NOT NULL,
    temp     REAL,
    humidity REAL,
    surface  REAL,
    lowest   REAL,
    highest  REAL,
    entry    INTEGER NOT NULL REFERENCES entry (id),
    PRIMARY KEY (entry, at)
) STRICT, WITHOUT ROWID;
INSERT INTO reading_gone VALUES ('oil room', 1773048600, 35.0, NULL, NULL, NULL, NULL, 44);
CREATE TABLE "about" (
    kind  TEXT NOT NULL,
    name  TEXT NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (id),
    nth   INTEGER NOT NULL,                  -- 1, 2, 3 … of the entries about this
    PRIMARY KEY (kind, name, entry)
) STRICT, WITHOUT ROWID;
INSERT INTO about VALUES ('any', 'finish', 39, 1);
INSERT INTO about VALUES ('any', 'finish', 40, 2);
INSERT INTO about VALUES ('any', 'finish', 50, 3);
INSERT INTO about VALUES ('any', 'finish', 51, 4);
INSERT INTO about VALUES ('any', 'pace', 14, 1);
INSERT INTO about VALUES ('any', 'pace', 15, 2);
INSERT INTO about VALUES ('any', 'pace', 19, 3);
INSERT INTO about VALUES ('any', 'pace', 29, 4);
INSERT INTO about VALUES ('any', 'pace', 30, 5);
INSERT INTO about VALUES ('any', 'pace', 60, 6);
INSERT INTO about VALUES ('any', 'pace', 74, 7);
INSERT INTO about VALUES ('any', 'plan', 47, 1);
INSERT INTO about VALUES ('any', 'plan', 49, 2);
INSERT INTO about VALUES ('any', 'plan', 90, 3);
INSERT INTO about VALUES ('batch', 'cup', 52, 1);
INSERT INTO about VALUES ('batch', 'cup', 53, 2);
INSERT INTO about VALUES ('batch', 'cup', 54, 3);
INSERT INTO about VALUES ('batch', 'cup', 57, 4);
INSERT INTO about VALUES ('batch', 'cup', 59, 5);
INSERT INTO about VALUES ('batch', 'cup', 60, 6);
INSERT INTO about VALUES ('batch', 'cup', 61, 7);
INSERT INTO about VALUES ('batch', 'cup', 62, 8);
INSERT INTO about VALUES ('batch', 'cup', 63, 9);
INSERT INTO about VALUES ('batch', 'cup', 64, 10);
INSERT INTO about VALUES ('batch', 'cup', 65, 11);
INSERT INTO about VALUES ('batch', 'cup', 66, 12);
INSERT INTO about VALUES ('batch', 'cup', 71, 13);
INSERT INTO about VALUES ('batch', 'cup', 72, 14);
INSERT INTO about VALUES ('batch', 'cup', 73, 15);
INSERT INTO about VALUES ('batch', 'cup', 74, 16);
INSERT INTO about VALUES ('batch', 'cup', 75, 17);
INSERT INTO about VALUES ('batch', 'cup', 76, 18);
INSERT INTO about VALUES ('batch', 'cup', 77, 19);
INSERT INTO about VALUES ('batch', 'cup', 78, 20);
INSERT INTO about VALUES ('batch', 'cup', 79, 21);
INSERT INTO about VALUES ('batch', 'cup', 80, 22);
INSERT INTO about VALUES ('batch', 'cup', 81, 23);
INSERT INTO about VALUES ('batch', 'cup', 82, 24);
INSERT INTO about VALUES ('batch', 'cup', 83, 25);
INSERT INTO about VALUES ('batch', 'cup', 84, 26);
INSERT INTO about VALUES ('batch', 'cup', 85, 27);
INSERT INTO about VALUES ('batch', 'cup', 86, 28);
INSERT INTO about VALUES ('batch', 'cup', 87, 29);
INSERT INTO about VALUES ('batch', 'cup', 88, 30);
INSERT INTO about VALUES ('batch', 'mug', 55, 1);
INSERT INTO about VALUES ('batch', 'mug', 68, 2);
INSERT INTO about VALUES ('batch', 'mug', 69, 3);
INSERT INTO about VALUES ('batch', 'mug', 70, 4);
INSERT INTO about VALUES ('batch', 'mug', 71, 5);
INSERT INTO about VALUES ('batch', 'rest', 6, 1);
INSERT INTO about VALUES ('batch', 'rest', 12, 2);
INSERT INTO about VALUES ('batch', 'rest', 15, 3);
INSERT INTO about VALUES ('batch', 'rest', 16, 4);
INSERT INTO about VALUES ('batch', 'rest', 17, 5);
INSERT INTO about VALUES ('batch', 'rest', 18, 6);
INSERT INTO about VALUES ('batch', 'rest', 38, 7);
INSERT INTO about VALUES ('batch', 'rest', 39, 8);
INSERT INTO about VALUES ('batch', 'rest', 40, 9);
INSERT INTO about VALUES ('batch', 'rest', 41, 10);
INSERT INTO about VALUES ('batch', 'rest', 42, 11);
INSERT INTO about VALUES ('batch', 'rest', 43, 12);
INSERT INTO about VALUES ('batch', 'salt', 7, 1);
INSERT INTO about VALUES ('batch', 'salt', 13, 2);
INSERT INTO about VALUES ('batch', 'salt', 14, 3);
INSERT INTO about VALUES ('batch', 'salt', 19, 4);
INSERT INTO about VALUES ('batch', 'salt', 20, 5);
INSERT INTO about VALUES ('batch', 'salt', 21, 6);
INSERT INTO about VALUES ('batch', 'salt', 22, 7);
INSERT INTO about VALUES ('batch', 'salt', 23, 8);
INSERT INTO about VALUES ('batch', 'salt', 24, 9);
INSERT INTO about VALUES ('batch', 'salt', 25, 10);
INSERT INTO about VALUES ('batch', 'salt', 26, 11);
INSERT INTO about VALUES ('batch', 'salt', 27, 12);
INSERT INTO about VALUES ('batch', 'salt', 28, 13);
INSERT INTO about VALUES ('batch', 'salt', 29, 14);
INSERT INTO about VALUES ('batch', 'salt', 30, 15);
INSERT INTO about VALUES ('batch', 'salt', 32, 16);
INSERT INTO about VALUES ('batch', 'salt', 33, 17);
INSERT INTO about VALUES ('batch', 'salt', 34, 18);
INSERT INTO about VALUES ('batch', 'salt', 35, 19);
INSERT INTO about VALUES ('batch', 'salt', 36, 20);
INSERT INTO about VALUES ('batch', 'salt', 37, 21);
INSERT INTO about VALUES ('batch', 'salt', 46, 22);
INSERT INTO about VALUES ('batch', 'salt', 48, 23);
INSERT INTO about VALUES ('batch', 'salt', 50, 24);
INSERT INTO about VALUES ('batch', 'salt', 51, 25);
INSERT INTO about VALUES ('batch', 'salt', 66, 26);
INSERT INTO about VALUES ('batch', 'slip', 8, 1);
INSERT INTO about VALUES ('batch', 'slip', 9, 2);
INSERT INTO about VALUES ('can', 'K7', 2, 1);
INSERT INTO about VALUES ('can', 'K7', 29, 2);
INSERT INTO about VALUES ('can', 'K7', 30, 3);
INSERT INTO about VALUES ('can', 'K7', 36, 4);
INSERT INTO about VALUES ('can', 'K7', 37, 5);
INSERT INTO about VALUES ('can', 'W0', 4, 1);
INSERT INTO about VALUES ('can', 'W0', 5, 2);
INSERT INTO about VALUES ('can', 'W1', 3, 1);
INSERT INTO about VALUES ('can', 'W1', 17, 2);
INSERT INTO about VALUES ('can', 'W1', 58, 3);
INSERT INTO about VALUES ('can', 'W1', 63, 4);
INSERT INTO about VALUES ('can', 'W1', 64, 5);
INSERT INTO about VALUES ('can', 'W1', 69, 6);
INSERT INTO about VALUES ('can', 'W1', 72, 7);
INSERT INTO about VALUES ('finish', 'hard wax', 39, 1);
INSERT INTO about VALUES ('finish', 'hard wax', 40, 2);
INSERT INTO about VALUES ('finish', 'house oil', 50, 1);
INSERT INTO about VALUES ('finish', 'house oil', 51, 2);
INSERT INTO about VALUES ('given', '71', 71, 1);
INSERT INTO about VALUES ('lot', 'cup-1', 59, 1);
INSERT INTO about VALUES ('lot', 'cup-1', 60, 2);
INSERT INTO about VALUES ('lot', 'cup-1', 61, 3);
INSERT INTO about VALUES ('lot', 'cup-1', 62, 4);
INSERT INTO about VALUES ('lot', 'cup-1', 63, 5);
INSERT INTO about VALUES ('lot', 'cup-1', 66, 6);
INSERT INTO about VALUES ('lot', 'cup-1', 73, 7);
INSERT INTO about VALUES ('lot', 'cup-1', 74, 8);
INSERT INTO about VALUES ('lot', 'cup-1', 76, 9);
INSERT INTO about VALUES ('lot', 'cup-1', 78, 10);
INSERT INTO about VALUES ('lot', 'cup-1', 80, 11);
INSERT INTO about VALUES ('lot', 'cup-1', 82, 12);
INSERT INTO about VALUES ('lot', 'cup-1', 83, 13);
INSERT INTO about VALUES ('lot', 'cup-1', 84, 14);
INSERT INTO about VALUES ('lot', 'cup-1', 85, 15);
INSERT INTO about VALUES ('lot', 'cup-1', 86, 16);
INSERT INTO about VALUES ('lot', 'cup-1', 87, 17);
INSERT INTO about VALUES ('lot', 'cup-2', 62, 1);
INSERT INTO about VALUES ('lot', 'cup-2', 64, 2);
INSERT INTO about VALUES ('lot', 'cup-2', 65, 3);
INSERT INTO about VALUES ('lot', 'cup-2', 66, 4);
INSERT INTO about VALUES ('lot', 'cup-2', 79, 5);
INSERT INTO about VALUES ('lot', 'cup-3', 71, 1);
INSERT INTO about VALUES ('lot', 'cup-3', 77, 2);
INSERT INTO about VALUES ('lot', 'cup-3', 81, 3);
INSERT INTO about VALUES ('lot', 'cup-4', 72, 1);
INSERT INTO about VALUES ('lot', 'cup-5', 73, 1);
INSERT INTO about VALUES ('lot', 'cup-5', 75, 2);
INSERT INTO about VALUES ('lot', 'cup-5', 76, 3);
INSERT INTO about VALUES ('lot', 'cup-6', 78, 1);
INSERT INTO about VALUES ('lot', 'cup-6', 88, 2);
INSERT INTO about VALUES ('lot', 'cup-7', 81, 1);
INSERT INTO about VALUES ('lot', 'cup-8', 85, 1);
INSERT INTO about VALUES ('lot', 'cup-8', 86, 2);
INSERT INTO about VALUES ('lot', 'cup-8', 87, 3);
INSERT INTO about VALUES ('lot', 'mug-1', 68, 1);
INSERT INTO about VALUES ('lot', 'mug-1', 69, 2);
INSERT INTO about VALUES ('lot', 'mug-1', 71, 3);
INSERT INTO about VALUES ('lot', 'rest-1', 12, 1);
INSERT INTO about VALUES ('lot', 'rest-1', 15, 2);
INSERT INTO about VALUES ('lot', 'rest-1', 16, 3);
INSERT INTO about VALUES ('lot', 'rest-1', 17, 4);
INSERT INTO about VALUES ('lot', 'rest-1', 18, 5);
INSERT INTO about VALUES ('lot', 'rest-1', 38, 6);
INSERT INTO about VALUES ('lot', 'rest-1', 39, 7);
INSERT INTO about VALUES ('lot', 'rest-1', 40, 8);
INSERT INTO about VALUES ('lot', 'rest-1', 41, 9);
INSERT INTO about VALUES ('lot', 'rest-1', 42, 10);
INSERT INTO about VALUES ('lot', 'rest-1', 43, 11);
INSERT INTO about VALUES ('lot', 'salt-1', 13, 1);
INSERT INTO about VALUES ('lot', 'salt-1', 14, 2);
INSERT INTO about VALUES ('lot', 'salt-1', 19, 3);
INSERT INTO about VALUES ('lot', 'salt-1', 20, 4);
INSERT INTO about VALUES ('lot', 'salt-1', 21, 5);
INSERT INTO about VALUES ('lot', 'salt-1', 22, 6);
INSERT INTO about VALUES ('lot', 'salt-1', 23, 7);
INSERT INTO about VALUES ('lot', 'salt-1', 27, 8);
INSERT INTO about VALUES ('lot', 'salt-1', 29, 9);
INSERT INTO about VALUES ('lot', 'salt-1', 32, 10);
INSERT INTO about VALUES ('lot', 'salt-1', 33, 11);
INSERT INTO about VALUES ('lot', 'salt-1', 34, 12);
INSERT INTO about VALUES ('lot', 'salt-1', 37, 13);
INSERT INTO about VALUES ('lot', 'salt-1', 66, 14);
INSERT INTO about VALUES ('lot', 'salt-2', 22, 1);
INSERT INTO about VALUES ('lot', 'salt-2', 28, 2);
INSERT INTO about VALUES ('lot', 'salt-2', 30, 3);
INSERT INTO about VALUES ('lot', 'salt-2', 35, 4);
INSERT INTO about VALUES ('lot', 'salt-2', 36, 5);
INSERT INTO about VALUES ('lot', 'salt-2', 50, 6);
INSERT INTO about VALUES ('lot', 'salt-2', 51, 7);
INSERT INTO about VALUES ('lot', 'salt-2', 66, 8);
INSERT INTO about VALUES ('lot', 'salt-3', 23, 1);
INSERT INTO about VALUES ('lot', 'salt-3', 24, 2);
INSERT INTO about VALUES ('lot', 'salt-3', 25, 3);
INSERT INTO about VALUES ('lot', 'salt-3', 26, 4);
INSERT INTO about VALUES ('lot', 'salt-4', 46, 1);
INSERT INTO about VALUES ('lot', 'salt-4', 48, 2);
INSERT INTO about VALUES ('pace', 'one coat', 15, 1);
INSERT INTO about VALUES ('pace', 'one coat', 60, 2);
INSERT INTO about VALUES ('pace', 'one coat', 74, 3);
INSERT INTO about VALUES ('pace', 'two coats', 14, 1);
INSERT INTO about VALUES ('pace', 'two coats', 19, 2);
INSERT INTO about VALUES ('pace', 'two coats', 29, 3);
INSERT INTO about VALUES ('pace', 'two coats', 30, 4);
INSERT INTO about VALUES ('plan', '47', 47, 1);
INSERT INTO about VALUES ('plan', '49', 49, 1);
INSERT INTO about VALUES ('plan', '90', 90, 1);
INSERT INTO about VALUES ('rack', 'drip-1', 12, 1);
INSERT INTO about VALUES ('rack', 'drip-1', 27, 2);
INSERT INTO about VALUES ('rack', 'drip-1', 28, 3);
INSERT INTO about VALUES ('rack', 'drip-1', 61, 4);
INSERT INTO about VALUES ('rack', 'drip-1', 68, 5);
INSERT INTO about VALUES ('rack', 'drip-1', 72, 6);
INSERT INTO about VALUES ('rack', 'loft', 38, 1);
INSERT INTO about VALUES ('rack', 'shelf', 23, 1);
INSERT INTO about VALUES ('rack', 'shelf', 46, 2);
INSERT INTO about VALUES ('rags', '17', 17, 1);
INSERT INTO about VALUES ('rags', '17', 18, 2);
INSERT INTO about VALUES ('rags', '29', 29, 1);
INSERT INTO about VALUES ('rags', '29', 66, 2);
INSERT INTO about VALUES ('rags', '30', 30, 1);
INSERT INTO about VALUES ('rags', '30', 66, 2);
INSERT INTO about VALUES ('rags', '36', 36, 1);
INSERT INTO about VALUES ('rags', '36', 66, 2);
INSERT INTO about VALUES ('rags', '37', 37, 1);
INSERT INTO about VALUES ('rags', '37', 66, 2);
INSERT INTO about VALUES ('rags', '63', 63, 1);
INSERT INTO about VALUES ('rags', '63', 66, 2);
INSERT INTO about VALUES ('rags', '64', 64, 1);
INSERT INTO about VALUES ('rags', '64', 66, 2);
INSERT INTO about VALUES ('rags', '69', 69, 1);
INSERT INTO about VALUES ('recipe', 'one coat', 6, 1);
INSERT INTO about VALUES ('recipe', 'one coat', 8, 2);
INSERT INTO about VALUES ('recipe', 'one coat', 52, 3);
INSERT INTO about VALUES ('recipe', 'one coat', 55, 4);
INSERT INTO about VALUES ('recipe', 'two coats', 7, 1);
INSERT INTO about VALUES ('room', 'oil room', 10, 1);
INSERT INTO about VALUES ('room', 'oil room', 11, 2);
INSERT INTO about VALUES ('room', 'oil room', 44, 3);
INSERT INTO about VALUES ('room', 'oil room', 45, 4);
INSERT INTO about VALUES ('room', 'oil room', 67, 5);
INSERT INTO about VALUES ('setup', 'setup', 1, 1);
INSERT INTO about VALUES ('setup', 'setup', 31, 2);
INSERT INTO about VALUES ('shipment', '42', 42, 1);
INSERT INTO about VALUES ('shipment', '82', 82, 1);
INSERT INTO about VALUES ('shipment', '82', 85, 2);
INSERT INTO about VALUES ('shipment', '82', 86, 3);
INSERT INTO about VALUES ('shipment', '82', 87, 4);
INSERT INTO about VALUES ('shipment', '82', 89, 5);
INSERT INTO about VALUES ('shipment', '83', 83, 1);
INSERT INTO about VALUES ('shipment', '83', 84, 2);
INSERT INTO about VALUES ('shop', 'shop', 56, 1);
CREATE INDEX about_by_entry ON about (entry, kind, name);
CREATE TABLE counted (
    kind    TEXT NOT NULL,
    name    TEXT NOT NULL,
    entries INTEGER NOT NULL,
    PRIMARY KEY (kind, name)
) STRICT, WITHOUT ROWID;
INSERT INTO counted VALUES ('any', 'finish', 4);
INSERT INTO counted VALUES ('any', 'pace', 7);
INSERT INTO counted VALUES ('any', 'plan', 3);
INSERT INTO counted VALUES ('batch', 'cup', 30);
INSERT INTO counted VALUES ('batch', 'mug', 5);
INSERT INTO counted VALUES ('batch', 'rest', 12);
INSERT INTO counted VALUES ('batch', 'salt', 26);
INSERT INTO counted VALUES ('batch', 'slip', 2);
INSERT INTO counted VALUES ('can', 'K7', 5);
INSERT INTO counted VALUES ('can', 'W0', 2);
INSERT INTO counted VALUES ('can', 'W1', 7);
INSERT INTO counted VALUES ('finish', 'hard wax', 2);
INSERT INTO counted VALUES ('finish', 'house oil', 2);
INSERT INTO counted VALUES ('given', '71', 1);
INSERT INTO counted VALUES ('lot', 'cup-1', 17);
INSERT INTO counted VALUES ('lot', 'cup-2', 5);
INSERT INTO counted VALUES ('lot', 'cup-3', 3);
INSERT INTO counted VALUES ('lot', 'cup-4', 1);
INSERT INTO counted VALUES ('lot', 'cup-5', 3);
INSERT INTO counted VALUES ('lot', 'cup-6', 2);
INSERT INTO counted VALUES ('lot', 'cup-7', 1);
INSERT INTO counted VALUES ('lot', 'cup-8', 3);
INSERT INTO counted VALUES ('lot', 'mug-1', 3);
INSERT INTO counted VALUES ('lot', 'rest-1', 11);
INSERT INTO counted VALUES ('lot', 'salt-1', 14);
INSERT INTO counted VALUES ('lot', 'salt-2', 8);
INSERT INTO counted VALUES ('lot', 'salt-3', 4);
INSERT INTO counted VALUES ('lot', 'salt-4', 2);
INSERT INTO counted VALUES ('pace', 'one coat', 3);
INSERT INTO counted VALUES ('pace', 'two coats', 4);
INSERT INTO counted VALUES ('plan', '47', 1);
INSERT INTO counted VALUES ('plan', '49', 1);
INSERT INTO counted VALUES ('plan', '90', 1);
INSERT INTO counted VALUES ('rack', 'drip-1', 6);
INSERT INTO counted VALUES ('rack', 'loft', 1);
INSERT INTO counted VALUES ('rack', 'shelf', 2);
INSERT INTO counted VALUES ('rags', '17', 2);
INSERT INTO counted VALUES ('rags', '29', 2);
INSERT INTO counted VALUES ('rags', '30', 2);
INSERT INTO counted VALUES ('rags', '36', 2);
INSERT INTO counted VALUES ('rags', '37', 2);
INSERT INTO counted VALUES ('rags', '63', 2);
INSERT INTO counted VALUES ('rags', '64', 2);
INSERT INTO counted VALUES ('rags', '69', 1);
INSERT INTO counted VALUES ('recipe', 'one coat', 4);
INSERT INTO counted VALUES ('recipe', 'two coats', 1);
INSERT INTO counted VALUES ('room', 'oil room', 5);
INSERT INTO counted VALUES ('setup', 'setup', 2);
INSERT INTO counted VALUES ('shipment', '42', 1);
INSERT INTO counted VALUES ('shipment', '82', 5);
INSERT INTO counted VALUES ('shipment', '83', 2);
INSERT INTO counted VALUES ('shop', 'shop', 1);
CREATE TABLE tip (
    entry INTEGER NOT NULL,
    hash  TEXT NOT NULL,
    open  INTEGER NOT NULL
) STRICT;
INSERT INTO tip VALUES (90, 'e710367e1f318eb2343a3a5ddd7fb23a71a1ce084fec186cb8dc0bff556d3f1b', 6);
CREATE TABLE reading_day (
    room TEXT NOT NULL,
    day  INTEGER NOT NULL,                   -- days since 1970-01-01
    sum  INTEGER NOT NULL,
    PRIMARY KEY (room, day)
) STRICT, WITHOUT ROWID;
INSERT INTO reading_day VALUES ('oil room', 20514, 6826500687710165623);
INSERT INTO reading_day VALUES ('oil room', 20523, 49928380631208152);
CREATE INDEX entry_by_at ON entry (at);
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never changed, undo records a further one'); END;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never deleted, undo records a further one'); END;
CREATE TRIGGER entry_is_never_replaced BEFORE INSERT ON entry WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never replaced, undo records a further one'); END;
