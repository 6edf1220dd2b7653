PRAGMA application_id = 1952539499;
PRAGMA user_version = 3;
CREATE TABLE entry (
    id       INTEGER PRIMARY KEY,            -- 1, 2, 3 … without a gap
    at       TEXT NOT NULL,                  -- when it happened, RFC 3339, UTC
    recorded TEXT NOT NULL,                  -- when it was written down, RFC 3339, UTC
    fact     TEXT NOT NULL CHECK (json_valid(fact)),
    anyway   TEXT CHECK (anyway IS NULL OR json_valid(anyway)),
    hash     TEXT NOT NULL                   -- SHA-256 over the hash before it and this row
) STRICT;
INSERT INTO entry VALUES (1, '2026-03-02T08:30:00Z', '2026-03-02T08:30:00Z', '{"fact":"setup_loaded","setup":{"shop":{"name":"Sorrel Lane Turnery","zone":"Europe/Dublin","hands":1,"hours":{"hours":{"fri":["08:30-12:30","13:15-16:00"],"mon":["08:30-12:30","13:15-17:30"],"thu":["08:30-12:30","13:15-17:30"],"tue":["08:30-12:30","13:15-17:30"],"wed":["08:30-12:30","13:15-17:30"]},"closed":["2026-03-17","2026-04-03..2026-04-06"]}},"rooms":[{"name":"oil room"}],"racks":[{"name":"drip-1","room":"oil room","slots":36,"purpose":"dry"},{"name":"loft","room":"oil room","slots":240,"purpose":"cure"},{"name":"shelf","room":"oil room","slots":12,"purpose":"dry_and_cure"}],"finishes":[{"name":"house oil","kind":"polymerised drying oil","sheet":{"title":"maker''s technical sheet","revised":"2025-04-01"},"soak":"10m..20m","recoat":"24h..7d","cure":"21d","at":23.0,"lowest":10.0,"dampest":80.0,"q10":2.0,"spread":18.0,"spread_bare":12.0,"voc":420.0,"air_limit":{"mg_m3":350.0,"basis":"occupational limit on the sheet, 8 h"},"lower_flammable":{"mg_m3":40000.0,"basis":"lower flammable limit on the sheet"},"keeps":"6 months","contains":["walnut"],"self_heating":true,"from_class":{}},{"name":"hard wax","kind":"hardwax oil","sheet":null,"soak":"5m..15m","recoat":"12h..4d","cure":"48h","at":20.0,"lowest":10.0,"dampest":80.0,"q10":2.5,"spread":24.0,"spread_bare":20.0,"voc":null,"air_limit":null,"keeps":"1 year","contains":null,"self_heating":true,"from_class":{"at":"common practice","dampest":"common practice","keeps":"common practice","lowest":"common practice","q10":"66 kJ/mol for linolenic acid (J. Agric. Food Chem. 53, 2005, abstract read), well above room temperature","self_heating":"see R1 and R4","soak":"common practice","spread":"common practice, of 20 to 40 wiped very thin","spread_bare":"common practice, of 20 to 40 wiped very thin"}}],"pieces":[{"name":"pinch bowl","wood":"beech","per_blank":2,"size":{"outline":[[0.0,0.0],[0.0,40.0],[12.0,62.0],[38.0,66.0],[38.0,60.0],[8.0,30.0],[8.0,0.0]]}},{"name":"spoon rest","wood":null,"per_blank":1,"size":{"area":150.0}}],"recipes":[{"name":"two coats","piece":"pinch bowl","steps":[{"kind":"work","name":"turn","each":"6m10s","rest":null},{"kind":"sand","grit":"P240","each":"30s","strip":10,"rest":null},{"kind":"raise","with":"water","each":"8s","rest":{"at_least":"4h"}},{"kind":"coat","finish":"house oil","each":"22s","wipe":"18s","rest":null},{"kind":"rub","grit":"P400","each":"15s","strip":12,"rest":{"between":"10m..4h"}},{"kind":"coat","finish":"house oil","each":"20s","wipe":"18s","rest":null},{"kind":"cure","finish":"house oil","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]}]},"revisions":{"one coat":1,"two coats":1}}', NULL, '6da7113ccd939404b0e53288f86975f0f7b6ab138c94b87b13aecc7273908262');
INSERT INTO entry VALUES (2, '2026-03-02T08:40:00Z', '2026-03-02T08:40:00Z', '{"fact":"can_opened","can":"K7","finish":"house oil","litres":1.0,"maker_lot":"L4481"}', NULL, '5c97e5c5aa3b2e8eaedc5266a5313e35e8152e58d9faea6f943d15c965930725');
INSERT INTO entry VALUES (3, '2026-03-02T08:40:00Z', '2026-03-02T08:40:00Z', '{"fact":"can_opened","can":"W1","finish":"hard wax","litres":null,"maker_lot":null}', NULL, 'ba70433e5b14d47101ed859c62ca4461e8df51aa3373ee8b0699fae218fec3fd');
INSERT INTO entry VALUES (4, '2026-03-02T08:41:00Z', '2026-03-02T08:45:00Z', '{"fact":"can_opened","can":"W0","finish":"hard wax","litres":0.5,"maker_lot":null}', NULL, '451350bb839c1d1be49e9c0b7a9fdb6fb7570bbfe07932fd53702309bfa98e18');
INSERT INTO entry VALUES (5, '2026-03-02T08:50:00Z', '2026-03-02T08:50:00Z', '{"fact":"can_emptied","can":"W0"}', NULL, '54b4f12cc7c11ad1c9467778738a142b760660013b50730f0193c2e289f1f8c1');
INSERT INTO entry VALUES (6, '2026-03-02T09:00:00Z', '2026-03-02T09:00:00Z', '{"fact":"batch_opened","batch":"rest","recipe":"one coat","pieces":5,"due":"2026-03-27","customer":"a shop in town"}', NULL, '4d927988ef750bd2ead2fcc973782cfba735e63de0714f2c0cedab835d3d65f0');
INSERT INTO entry VALUES (7, '2026-03-02T09:00:00Z', '2026-03-02T09:00:00Z', '{"fact":"batch_opened","batch":"salt","recipe":"two coats","pieces":20,"due":null,"customer":null}', NULL, '752cb4054eae9a26c9965553d3dc3e6a15519909e2a351eda90ddf894e97e648');
INSERT INTO entry VALUES (8, '2026-03-02T09:00:00Z', '2026-03-02T09:00:00Z', '{"fact":"batch_opened","batch":"slip","recipe":"one coat","pieces":3,"due":null,"customer":null}', NULL, '01313ec7a896c157430742ad3745852d88be09a223cea47dd108c0fbb4125c0c');
INSERT INTO entry VALUES (9, '2026-03-02T09:01:00Z', '2026-03-02T09:01:00Z', '{"fact":"batch_closed","batch":"slip"}', NULL, '4dfc4ccf3ef4c2c360e08b3604dc8979667984a18ca955dc140500d64c987b96');
INSERT INTO entry VALUES (10, '2026-03-02T09:05:00Z', '2026-03-02T09:05:00Z', '{"fact":"readings_added","room":"oil room","readings":1,"first":"2026-03-02T09:05:00Z","last":"2026-03-02T09:05:00Z","file":null,"digest":"0dd412806b2c796bce39a377436ed98b3902f4c507c297a56bc2010520d0e5bb"}', NULL, '97bd6e95278624fdadd084287e9568d4ee96b885ee79f778ffdeb9c250ca6568');
INSERT INTO entry VALUES (11, '2026-03-02T09:10:00Z', '2026-03-02T09:10:00Z', '{"fact":"readings_added","room":"oil room","readings":3,"first":"2026-03-02T08:00:00Z","last":"2026-03-02T09:00:00Z","file":"log.csv","digest":"3977f9ea0975ea2ea332bd3d95611340adf2ebacd5515df3fa5bf3e1aab0b61a"}', NULL, 'c312d3f9234d0c8049d4e559eebb7ea8bca9687e3eabf7d1898a4e16a092963f');
INSERT INTO entry VALUES (12, '2026-03-02T09:15:00Z', '2026-03-02T09:15:00Z', '{"fact":"lot_started","lot":"rest-1","recipe":{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":1,"pieces":6,"rack":"drip-1","from_step":1}', NULL, '5df70631b0455c2b1bcb25f69c669e845189b6d19e6f7c1c2a3036550249f461');
INSERT INTO entry VALUES (13, '2026-03-02T09:20:00Z', '2026-03-02T09:20:00Z', '{"fact":"lot_started","lot":"salt-1","recipe":{"name":"two coats","piece":"pinch bowl","steps":[{"kind":"work","name":"turn","each":"6m10s","rest":null},{"kind":"sand","grit":"P240","each":"30s","strip":10,"rest":null},{"kind":"raise","with":"water","each":"8s","rest":{"at_least":"4h"}},{"kind":"coat","finish":"house oil","each":"22s","wipe":"18s","rest":null},{"kind":"rub","grit":"P400","each":"15s","strip":12,"rest":{"between":"10m..4h"}},{"kind":"coat","finish":"house oil","each":"20s","wipe":"18s","rest":null},{"kind":"cure","finish":"house oil","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":1,"pieces":12,"rack":null,"from_step":1}', NULL, '875ccf176ef8ce437ef261618a0c1fae8b9301835e1ae613db23bd264601742e');
INSERT INTO entry VALUES (14, '2026-03-02T09:33:21Z', '2026-03-02T09:35:00Z', '{"fact":"pace_timed","lot":"salt-1","recipe":"two coats","splits":[{"step":{"name":"turn","nth":1},"before":0,"seconds":[1,370]},{"step":{"name":"sand P240","nth":1},"before":0,"seconds":[370,30]},{"step":{"name":"raise with water","nth":1},"before":0,"seconds":[29]}]}', NULL, 'ab82432e0dcd66ed9eb75c466b5b9ab10d0f1b02177d0e58c803b8f12614503f');
INSERT INTO entry VALUES (15, '2026-03-02T10:00:00Z', '2026-03-02T10:00:00Z', '{"fact":"step_done","lot":"rest-1","step":1,"pieces":6,"coat":null,"minutes":4,"rack":null,"timed":{"recipe":"one coat","step":{"name":"sand P240","nth":1},"before":0}}', NULL, '0377ed183e4ccee9678ce05f98e6fe5f98dd2314e62d2e64c0b75741bc69a4d1');
INSERT INTO entry VALUES (16, '2026-03-02T10:30:00Z', '2026-03-02T10:30:00Z', '{"fact":"step_begun","lot":"rest-1","step":2,"rack":null}', NULL, '5d1643872d56067e9be569de9c9b376d6474f5e210fbe066048ee72437e2e3d8');
INSERT INTO entry VALUES (17, '2026-03-02T10:32:00Z', '2026-03-02T10:32:00Z', '{"fact":"step_done","lot":"rest-1","step":2,"pieces":6,"coat":{"finish":"hard wax","can":"W1","drawn":0.0045},"minutes":null,"rack":null}', NULL, 'fd45ef4f38cc72f6d73804816c2169e6c54479991392d9fa69f3409654f414e1');
INSERT INTO entry VALUES (18, '2026-03-02T10:40:00Z', '2026-03-02T10:40:00Z', '{"fact":"rags_dealt_with","rags":[{"coat":17,"lot":"rest-1"}],"how":"spread flat outdoors"}', NULL, 'cac54595c8fbe68649212e0afe5bfd9a46d4762d6732d057751a0ae63e6fc9e0');
INSERT INTO entry VALUES (19, '2026-03-02T12:00:00Z', '2026-03-02T12:00:00Z', '{"fact":"step_done","lot":"salt-1","step":1,"pieces":12,"coat":null,"minutes":75,"rack":null,"timed":{"recipe":"two coats","step":{"name":"turn","nth":1},"before":0}}', NULL, '225b2de1b767475ac746949f986b2e8c272a8918058c65c6f6963a854f67be50');
INSERT INTO entry VALUES (20, '2026-03-02T13:20:00Z', '2026-03-02T13:20:00Z', '{"fact":"step_done","lot":"salt-1","step":2,"pieces":12,"coat":null,"minutes":null,"rack":null}', NULL, 'fbccbc1acd571b2e9bbd74f95cb5dc55490b821c33875af390b6cb8fa529cacc');
INSERT INTO entry VALUES (21, '2026-03-02T13:30:00Z', '2026-03-02T13:30:00Z', '{"fact":"step_done","lot":"salt-1","step":3,"pieces":12,"coat":null,"minutes":null,"rack":null}', NULL, 'f46d78b1c8bf35a13310b5a10e375d0f3b1b0f1d259b4cf778ab0f87113c2c9c');
INSERT INTO entry VALUES (22, '2026-03-02T13:35:00Z', '2026-03-02T13:35:00Z', '{"fact":"lot_split","lot":"salt-1","into":"salt-2","pieces":5,"rack":null}', NULL, '1f3191478c0311c0aa6293fd76817d23a8d343a008b9d79c1e9abdeb594917fd');
INSERT INTO entry VALUES (23, '2026-03-02T13:36:00Z', '2026-03-02T13:36:00Z', '{"fact":"lot_split","lot":"salt-1","into":"salt-3","pieces":1,"rack":"shelf"}', NULL, '4bd4d00087d8c9d5a6350d16f8898fd45f378dd1c044a737aae0d2bce3ebeb74');
INSERT INTO entry VALUES (24, '2026-03-02T13:40:00Z', '2026-03-02T13:40:00Z', '{"fact":"lot_held","lot":"salt-3","why":"a crack?"}', NULL, 'e1c722436c45dce8e1c8dd9581080666a483da670ad99203d7e9c03c1ff8b39f');
INSERT INTO entry VALUES (25, '2026-03-02T13:50:00Z', '2026-03-02T13:50:00Z', '{"fact":"lot_released","lot":"salt-3"}', NULL, '9acb3053c1cce0ef85044b3d76a4da98a0ea4d7300f49105d31496ef6526ad28');
INSERT INTO entry VALUES (26, '2026-03-02T13:55:00Z', '2026-03-02T13:55:00Z', '{"fact":"pieces_rejected","lot":"salt-3","pieces":1,"why":"cracked","step":4}', NULL, '077a3b4f1ec4fd8d076906c7c9227dd707ff71ab89311dd27da02685c5707c8a');
INSERT INTO entry VALUES (27, '2026-03-03T08:40:00Z', '2026-03-03T08:40:00Z', '{"fact":"step_begun","lot":"salt-1","step":4,"rack":"drip-1"}', NULL, '8d5da1058836334ac3f1963317229c9d1aa6e4e929fb772a8008b6d450aa153e');
INSERT INTO entry VALUES (28, '2026-03-03T08:40:00Z', '2026-03-03T08:40:00Z', '{"fact":"step_begun","lot":"salt-2","step":4,"rack":"drip-1"}', NULL, '05c36e8ed5549d0db8f5e8c1882e7708f8db22df410f05465484071f651f60ff');
INSERT INTO entry VALUES (29, '2026-03-03T08:55:00Z', '2026-03-03T08:55:00Z', '{"fact":"step_done","lot":"salt-1","step":4,"pieces":6,"coat":{"finish":"house oil","can":"K7","drawn":0.007575},"minutes":4,"rack":null,"timed":{"recipe":"two coats","step":{"name":"coat house oil","nth":1},"before":0}}', NULL, '175d6efeb2e442b95a72170a5aeeb82f9554d6662d973f2a4abfc1b786e4da05');
INSERT INTO entry VALUES (30, '2026-03-03T08:55:00Z', '2026-03-03T08:55:00Z', '{"fact":"step_done","lot":"salt-2","step":4,"pieces":5,"coat":{"finish":"house oil","can":"K7","drawn":0.006313},"minutes":5,"rack":null,"timed":{"recipe":"two coats","step":{"name":"coat house oil","nth":1},"before":6}}', NULL, '114504990b258d64082a4eabf709e115233dee8c59f2ecbe0395aacd7dd21ac8');
INSERT INTO entry VALUES (31, '2026-03-03T09:00:00Z', '2026-03-03T09:00:00Z', '{"fact":"setup_loaded","setup":{"shop":{"name":"Sorrel Lane Turnery","zone":"Europe/Dublin","hands":1,"hours":{"hours":{"fri":["08:30-12:30","13:15-16:00"],"mon":["08:30-12:30","13:15-17:30"],"thu":["08:30-12:30","13:15-17:30"],"tue":["08:30-12:30","13:15-17:30"],"wed":["08:30-12:30","13:15-17:30"]},"closed":["2026-03-17","2026-04-03..2026-04-06"]}},"rooms":[{"name":"oil room"}],"racks":[{"name":"drip-1","room":"oil room","slots":36,"purpose":"dry"},{"name":"loft","room":"oil room","slots":240,"purpose":"cure"},{"name":"shelf","room":"oil room","slots":12,"purpose":"dry_and_cure"}],"finishes":[{"name":"house oil","kind":"polymerised drying oil","sheet":{"title":"maker''s technical sheet","revised":"2025-04-01"},"soak":"10m..20m","recoat":"20h..6d","cure":"21d","at":23.0,"lowest":10.0,"dampest":80.0,"q10":2.0,"spread":18.0,"spread_bare":12.0,"voc":420.0,"air_limit":{"mg_m3":350.0,"basis":"occupational limit on the sheet, 8 h"},"lower_flammable":{"mg_m3":40000.0,"basis":"lower flammable limit on the sheet"},"keeps":"6 months","contains":["walnut"],"self_heating":true,"from_class":{}},{"name":"hard wax","kind":"hardwax oil","sheet":null,"soak":"5m..15m","recoat":"12h..4d","cure":"48h","at":20.0,"lowest":10.0,"dampest":80.0,"q10":2.5,"spread":24.0,"spread_bare":20.0,"voc":null,"air_limit":null,"keeps":"1 year","contains":null,"self_heating":true,"from_class":{"at":"common practice","dampest":"common practice","keeps":"common practice","lowest":"common practice","q10":"66 kJ/mol for linolenic acid (J. Agric. Food Chem. 53, 2005, abstract read), well above room temperature","self_heating":"see R1 and R4","soak":"common practice","spread":"common practice, of 20 to 40 wiped very thin","spread_bare":"common practice, of 20 to 40 wiped very thin"}}],"pieces":[{"name":"pinch bowl","wood":"beech","per_blank":2,"size":{"outline":[[0.0,0.0],[0.0,40.0],[12.0,62.0],[38.0,66.0],[38.0,60.0],[8.0,30.0],[8.0,0.0]]}},{"name":"spoon rest","wood":null,"per_blank":1,"size":{"area":150.0}}],"recipes":[{"name":"two coats","piece":"pinch bowl","steps":[{"kind":"work","name":"turn","each":"6m","rest":null},{"kind":"sand","grit":"P240","each":"30s","strip":10,"rest":null},{"kind":"raise","with":"water","each":"8s","rest":{"at_least":"4h"}},{"kind":"coat","finish":"house oil","each":"22s","wipe":"18s","rest":null},{"kind":"rub","grit":"P400","each":"15s","strip":12,"rest":{"between":"10m..4h"}},{"kind":"coat","finish":"house oil","each":"20s","wipe":"18s","rest":null},{"kind":"cure","finish":"house oil","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},{"name":"one coat","piece":"spoon rest","steps":[{"kind":"sand","grit":"P240","each":"30s","strip":null,"rest":null},{"kind":"coat","finish":"hard wax","each":"20s","wipe":"0s","rest":null},{"kind":"cure","finish":"hard wax","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]}]},"revisions":{"one coat":1,"two coats":2}}', NULL, '8bbd8f47e276ced87c6f4200c80cfea060a8e27717d8d3baecaf97bcfbfa7d2f');
INSERT INTO entry VALUES (32, '2026-03-03T15:00:00Z', '2026-03-03T15:00:00Z', '{"fact":"touched","lot":"salt-1","stage":"tacky","of_cure":null}', NULL, 'c802b6ceafee6a031d2c4244de380ebed20ca289798f3f5b8ee7f279097ef496');
INSERT INTO entry VALUES (33, '2026-03-04T09:00:00Z', '2026-03-04T09:00:00Z', '{"fact":"touched","lot":"salt-1","stage":"tack-free","of_cure":null}', NULL, '21c7ca62891e89212b658ef620d0376ba3d0b219c8fdd97baf745d4b33559a04');
INSERT INTO entry VALUES (34, '2026-03-04T09:10:00Z', '2026-03-04T09:10:00Z', '{"fact":"step_done","lot":"salt-1","step":5,"pieces":6,"coat":null,"minutes":null,"rack":null}', NULL, '75ae0ebf75b94241f328706377b225bf23b6d2d751e5aa6877ef7faa640fbc35');
INSERT INTO entry VALUES (35, '2026-03-04T09:10:00Z', '2026-03-04T09:10:00Z', '{"fact":"step_done","lot":"salt-2","step":5,"pieces":5,"coat":null,"minutes":null,"rack":null}', NULL, '1d7721ae3fbfaac7e39d3bd247e4a89535c414c20326a3e19d45e6bddd8bf4dc');
INSERT INTO entry VALUES (36, '2026-03-04T09:15:00Z', '2026-03-04T09:15:00Z', '{"fact":"step_done","lot":"salt-2","step":6,"pieces":5,"coat":{"finish":"house oil","can":"K7","drawn":0.004208},"minutes":null,"rack":null}', '{"reason":"tested on a scrap","overruled":["too-early"]}', '6c2cae69d3e4be817506ef99344cf9484dbeeb31903451fccfa9db0675a604e3');
INSERT INTO entry VALUES (37, '2026-03-04T09:30:00Z', '2026-03-04T09:30:00Z', '{"fact":"step_done","lot":"salt-1","step":6,"pieces":6,"coat":{"finish":"house oil","can":"K7","drawn":0.00505},"minutes":null,"rack":null}', NULL, '1967a6b08bfb24ba55eae42f25d0964782b36342a89b5f0b8fe355d3fc00c6fa');
INSERT INTO entry VALUES (38, '2026-03-05T16:00:00Z', '2026-03-05T16:00:00Z', '{"fact":"lot_moved","lot":"rest-1","rack":"loft"}', NULL, 'd8db7c63e4656f01198a07368c7fa3026609136ba3d8d0d4ebb1307cdc1f6992');
INSERT INTO entry VALUES (39, '2026-03-06T09:00:00Z', '2026-03-06T09:00:00Z', '{"fact":"touched","lot":"rest-1","stage":"tacky","of_cure":{"finish":"hard wax","share":1.9680555555555557}}', NULL, '1dfb89a5fdd8a3d90bc0e99e88935d1a4b73347d25451e53d71d52c4df05699f');
INSERT INTO entry VALUES (40, '2026-03-09T09:00:00Z', '2026-03-09T09:00:00Z', '{"fact":"touched","lot":"rest-1","stage":"print-free","of_cure":{"finish":"hard wax","share":3.4680555555555554}}', NULL, '9951f9fa56646070caa9842c06b2573e3e125527f5e6fc930e3433286f79a62b');
INSERT INTO entry VALUES (41, '2026-03-09T09:10:00Z', '2026-03-09T09:10:00Z', '{"fact":"step_done","lot":"rest-1","step":4,"pieces":6,"coat":null,"minutes":null,"rack":null}', NULL, '6eb36eb22091d8f973b4545d35d2c22b8a705e95e2dd4e4684f642438350741b');
INSERT INTO entry VALUES (42, '2026-03-09T09:20:00Z', '2026-03-09T09:20:00Z', '{"fact":"shipped","to":"a shop in town","lots":[["rest-1",4]]}', NULL, '87a422e2ea68f4048bdc8d417aa99d37c550676f159192dbb34eb10d58c686eb');
INSERT INTO entry VALUES (43, '2026-03-09T09:25:00Z', '2026-03-09T09:25:00Z', '{"fact":"lot_moved","lot":"rest-1","rack":null}', NULL, '5ae0e21a13004d5750a2b549b4aca2e5ceaf7f87c4ac18d157f46492e0829f8d');
INSERT INTO entry VALUES (44, '2026-03-09T09:30:00Z', '2026-03-09T09:30:00Z', '{"fact":"readings_added","room":"oil room","readings":1,"first":"2026-03-09T09:30:00Z","last":"2026-03-09T09:30:00Z","file":null,"digest":"d7b0fc0d4243f32c9a52c5b6863333f9840b107b8e33695bb2b5889983fc9231"}', NULL, 'e052b0af4c83f978064fb62faf9e72483b70d0a47772154c95bdae2720fd2501');
INSERT INTO entry VALUES (45, '2026-03-09T09:31:00Z', '2026-03-09T09:31:00Z', '{"fact":"voided","entry":44,"why":"the wrong room","touched":[{"kind":"room","name":"oil room"}]}', NULL, 'bb50c3a1dd475491d87cb177c4088a0a441ebadc9c3021748d14403c9de99fee');
INSERT INTO entry VALUES (46, '2026-03-09T09:40:00Z', '2026-03-09T09:40:00Z', '{"fact":"lot_started","lot":"salt-4","recipe":{"name":"two coats","piece":"pinch bowl","steps":[{"kind":"work","name":"turn","each":"6m","rest":null},{"kind":"sand","grit":"P240","each":"30s","strip":10,"rest":null},{"kind":"raise","with":"water","each":"8s","rest":{"at_least":"4h"}},{"kind":"coat","finish":"house oil","each":"22s","wipe":"18s","rest":null},{"kind":"rub","grit":"P400","each":"15s","strip":12,"rest":{"between":"10m..4h"}},{"kind":"coat","finish":"house oil","each":"20s","wipe":"18s","rest":null},{"kind":"cure","finish":"house oil","rest":null},{"kind":"work","name":"inspect","each":"20s","rest":null}]},"revision":2,"pieces":8,"rack":"shelf","from_step":4}', NULL, 'b54e71d468445d6e738548a22c9561153886f5298b617f07dfc42cffe28fa51b');
INSERT INTO entry VALUES (47, '2026-03-09T09:45:00Z', '2026-03-09T09:45:00Z', '{"fact":"plan_kept","plan":{"now":"2026-03-09T09:45:00Z","batches":[{"batch":"rest","ready_at":"2026-03-09T09:10:00Z","due":"2026-03-27","days_late":-18,"limited_by":"nothing","to_start":0},{"batch":"salt","ready_at":"2026-04-07T07:34:00Z","due":null,"days_late":null,"limited_by":"hands","to_start":2}],"steps":[{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":1,"name":"turn","kind":"work","start":"2026-03-09T09:45:00Z","end":"2026-03-09T09:57:00Z","latest_start":"2026-03-12T12:16:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":2,"name":"sand P240","kind":"sand","start":"2026-03-09T09:57:00Z","end":"2026-03-09T09:58:00Z","latest_start":"2026-03-12T12:28:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":3,"name":"raise with water","kind":"raise","start":"2026-03-09T09:58:00Z","end":"2026-03-09T09:59:00Z","latest_start":"2026-03-12T12:29:00Z","rack":null},{"lot":"salt-4","batch":"salt","pieces":8,"to_start":false,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-09T13:40:00Z","end":"2026-03-09T13:54:00Z","latest_start":"2026-03-12T16:47:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-09T13:59:00Z","end":"2026-03-09T14:11:00Z","latest_start":"2026-03-12T17:14:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":8,"to_start":false,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-10T12:06:00Z","end":"2026-03-10T12:08:00Z","latest_start":"2026-03-13T15:13:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-10T12:23:00Z","end":"2026-03-10T12:24:00Z","latest_start":"2026-03-13T15:38:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":8,"to_start":false,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-10T13:15:00Z","end":"2026-03-10T13:28:00Z","latest_start":"2026-03-13T15:25:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-10T13:28:00Z","end":"2026-03-10T13:39:00Z","latest_start":"2026-03-13T15:49:00Z","rack":"shelf"},{"lot":"salt-2","batch":"salt","pieces":5,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-03-30T07:30:00Z","end":"2026-03-30T07:32:00Z","latest_start":"2026-03-30T07:30:00Z","rack":null},{"lot":"salt-1","batch":"salt","pieces":6,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-03-30T07:32:00Z","end":"2026-03-30T07:34:00Z","latest_start":"2026-03-30T07:32:00Z","rack":null},{"lot":"salt-4","batch":"salt","pieces":8,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-07T07:30:00Z","end":"2026-04-07T07:33:00Z","latest_start":"2026-04-07T07:30:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":2,"to_start":true,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-07T07:33:00Z","end":"2026-04-07T07:34:00Z","latest_start":"2026-04-07T07:33:00Z","rack":null}],"stays":[{"lot":"salt-1","pieces":6,"rack":"loft","cures":true,"from":"2026-03-09T09:45:00Z","until":"2026-03-27T16:44:00Z"},{"lot":"salt-2","pieces":5,"rack":"loft","cures":true,"from":"2026-03-09T09:45:00Z","until":"2026-03-27T16:29:00Z"},{"lot":"salt-4","pieces":8,"rack":"shelf","cures":false,"from":"2026-03-09T09:45:00Z","until":"2026-03-11T11:40:00Z"},{"lot":"salt-5","pieces":2,"rack":"shelf","cures":false,"from":"2026-03-09T13:59:00Z","until":"2026-03-11T11:51:00Z"},{"lot":"salt-4","pieces":8,"rack":"loft","cures":true,"from":"2026-03-11T11:40:00Z","until":"2026-04-02T20:42:00Z"},{"lot":"salt-5","pieces":2,"rack":"loft","cures":true,"from":"2026-03-11T11:51:00Z","until":"2026-04-02T20:53:00Z"}],"missed":[],"waits":[{"finish":"house oil","shortest":1332,"longest":8640,"cure":33554},{"finish":"hard wax","shortest":720,"longest":5020,"cure":9988}],"ready_at":"2026-04-07T07:34:00Z","bound":{"ready_at":"2026-04-07T07:34:00Z","gap_percent":0.0,"lateness":0,"by":"hands"},"lateness":0,"idle":106141,"held":[],"evaluations":0,"seed":1}}', NULL, '02ea68d068f25df7db063980d82e1d8093a632b40338d10fc8db483dcce444d5');
INSERT INTO entry VALUES (48, '2026-03-09T09:50:00Z', '2026-03-09T10:00:00Z', '{"fact":"pieces_rejected","lot":"salt-4","pieces":1,"why":"tool mark","step":4}', NULL, 'd8c45aa73ad30bb25628a4a18409b3bede14072590c6dcaeac8b33944b3ddc6a');
INSERT INTO entry VALUES (49, '2026-03-10T09:00:00Z', '2026-03-10T09:00:00Z', '{"fact":"plan_kept","plan":{"now":"2026-03-10T09:00:00Z","batches":[{"batch":"rest","ready_at":"2026-03-09T09:10:00Z","due":"2026-03-27","days_late":-18,"limited_by":"nothing","to_start":0},{"batch":"salt","ready_at":"2026-04-01T09:57:00Z","due":null,"days_late":null,"limited_by":"drying","to_start":3}],"steps":[{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":1,"name":"turn","kind":"work","start":"2026-03-10T09:00:00Z","end":"2026-03-10T09:18:00Z","latest_start":"2026-03-10T09:00:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":2,"name":"sand P240","kind":"sand","start":"2026-03-10T09:18:00Z","end":"2026-03-10T09:20:00Z","latest_start":"2026-03-10T09:18:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":3,"name":"raise with water","kind":"raise","start":"2026-03-10T09:20:00Z","end":"2026-03-10T09:21:00Z","latest_start":"2026-03-10T09:20:00Z","rack":null},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-10T09:21:00Z","end":"2026-03-10T09:34:00Z","latest_start":"2026-03-10T12:17:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":4,"name":"coat house oil","kind":"coat","start":"2026-03-10T13:21:00Z","end":"2026-03-10T13:33:00Z","latest_start":"2026-03-10T13:21:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-11T08:30:00Z","end":"2026-03-11T08:32:00Z","latest_start":"2026-03-11T08:30:00Z","rack":"shelf"},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-11T08:42:00Z","end":"2026-03-11T08:55:00Z","latest_start":"2026-03-11T08:42:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":5,"name":"rub P400","kind":"rub","start":"2026-03-11T09:33:00Z","end":"2026-03-11T09:34:00Z","latest_start":"2026-03-11T09:33:00Z","rack":"shelf"},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":6,"name":"coat house oil","kind":"coat","start":"2026-03-11T09:44:00Z","end":"2026-03-11T09:56:00Z","latest_start":"2026-03-11T09:44:00Z","rack":"shelf"},{"lot":"salt-1","batch":"salt","pieces":6,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-03-26T08:30:00Z","end":"2026-03-26T08:32:00Z","latest_start":"2026-03-26T08:30:00Z","rack":null},{"lot":"salt-2","batch":"salt","pieces":5,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-03-26T08:32:00Z","end":"2026-03-26T08:34:00Z","latest_start":"2026-03-26T08:32:00Z","rack":null},{"lot":"salt-4","batch":"salt","pieces":7,"to_start":false,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-01T08:55:00Z","end":"2026-04-01T08:58:00Z","latest_start":"2026-04-01T08:55:00Z","rack":null},{"lot":"salt-5","batch":"salt","pieces":3,"to_start":true,"begun":false,"step":8,"name":"inspect","kind":"work","start":"2026-04-01T09:56:00Z","end":"2026-04-01T09:57:00Z","latest_start":"2026-04-01T09:56:00Z","rack":null}],"stays":[{"lot":"salt-1","pieces":6,"rack":"loft","cures":true,"from":"2026-03-10T09:00:00Z","until":"2026-03-25T23:41:00Z"},{"lot":"salt-2","pieces":5,"rack":"loft","cures":true,"from":"2026-03-10T09:00:00Z","until":"2026-03-25T23:27:00Z"},{"lot":"salt-4","pieces":7,"rack":"shelf","cures":false,"from":"2026-03-10T09:00:00Z","until":"2026-03-12T04:55:00Z"},{"lot":"salt-5","pieces":3,"rack":"shelf","cures":false,"from":"2026-03-10T13:21:00Z","until":"2026-03-12T05:56:00Z"},{"lot":"salt-4","pieces":7,"rack":"loft","cures":true,"from":"2026-03-12T04:55:00Z","until":"2026-04-01T08:55:00Z"},{"lot":"salt-5","pieces":3,"rack":"loft","cures":true,"from":"2026-03-12T05:56:00Z","until":"2026-04-01T09:56:00Z"}],"missed":[],"waits":[{"finish":"house oil","shortest":1200,"longest":8640,"cure":30240},{"finish":"hard wax","shortest":720,"longest":5760,"cure":9988}],"ready_at":"2026-04-01T09:57:00Z","bound":{"ready_at":"2026-04-01T09:57:00Z","gap_percent":0.0,"lateness":0,"by":{"path":"salt-5"}},"lateness":0,"idle":7278,"held":[],"evaluations":0,"seed":1}}', NULL, 'eeb99332e23c50b4448fa5117f1c17c2282f64fdc39ec9838baa9fe4f14ee386');
INSERT INTO entry VALUES (50, '2026-03-10T09:10:00Z', '2026-03-10T09:10:00Z', '{"fact":"touched","lot":"salt-2","stage":"tacky","of_cure":{"finish":"house oil","share":0.25735111589432935}}', NULL, 'ea9ef5799653e782e205dd6373fd280720dbdc87d9ff6e4c4ef59ce954f1fc77');
INSERT INTO entry VALUES (51, '2026-03-10T09:11:00Z', '2026-03-10T09:11:00Z', '{"fact":"voided","entry":50,"why":"recorded by mistake","touched":[{"kind":"batch","name":"salt"},{"kind":"lot","name":"salt-2"},{"kind":"finish","name":"house oil"}]}', NULL, 'cdd4f519114bbc3e401c3deebd65d7c334be0be1b7d6987da22a45e2de2833ce');
CREATE TABLE about (
    kind  TEXT NOT NULL,
    name  TEXT NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (id),
    PRIMARY KEY (kind, name, entry)
) STRICT, WITHOUT ROWID;
INSERT INTO about VALUES ('batch', 'rest', 6);
INSERT INTO about VALUES ('batch', 'salt', 7);
INSERT INTO about VALUES ('batch', 'slip', 8);
INSERT INTO about VALUES ('batch', 'slip', 9);
INSERT INTO about VALUES ('batch', 'rest', 12);
INSERT INTO about VALUES ('batch', 'salt', 13);
INSERT INTO about VALUES ('batch', 'salt', 14);
INSERT INTO about VALUES ('batch', 'rest', 15);
INSERT INTO about VALUES ('batch', 'rest', 16);
INSERT INTO about VALUES ('batch', 'rest', 17);
INSERT INTO about VALUES ('batch', 'rest', 18);
INSERT INTO about VALUES ('batch', 'salt', 19);
INSERT INTO about VALUES ('batch', 'salt', 20);
INSERT INTO about VALUES ('batch', 'salt', 21);
INSERT INTO about VALUES ('batch', 'salt', 22);
INSERT INTO about VALUES ('batch', 'salt', 23);
INSERT INTO about VALUES ('batch', 'salt', 24);
INSERT INTO about VALUES ('batch', 'salt', 25);
INSERT INTO about VALUES ('batch', 'salt', 26);
INSERT INTO about VALUES ('batch', 'salt', 27);
INSERT INTO about VALUES ('batch', 'salt', 28);
INSERT INTO about VALUES ('batch', 'salt', 29);
INSERT INTO about VALUES ('batch', 'salt', 30);
INSERT INTO about VALUES ('batch', 'salt', 32);
INSERT INTO about VALUES ('batch', 'salt', 33);
INSERT INTO about VALUES ('batch', 'salt', 34);
INSERT INTO about VALUES ('batch', 'salt', 35);
INSERT INTO about VALUES ('batch', 'salt', 36);
INSERT INTO about VALUES ('batch', 'salt', 37);
INSERT INTO about VALUES ('batch', 'rest', 38);
INSERT INTO about VALUES ('batch', 'rest', 39);
INSERT INTO about VALUES ('batch', 'rest', 40);
INSERT INTO about VALUES ('batch', 'rest', 41);
INSERT INTO about VALUES ('batch', 'rest', 42);
INSERT INTO about VALUES ('batch', 'rest', 43);
INSERT INTO about VALUES ('batch', 'salt', 46);
INSERT INTO about VALUES ('batch', 'salt', 48);
INSERT INTO about VALUES ('batch', 'salt', 50);
INSERT INTO about VALUES ('batch', 'salt', 51);
INSERT INTO about VALUES ('can', 'K7', 2);
INSERT INTO about VALUES ('can', 'W1', 3);
INSERT INTO about VALUES ('can', 'W0', 4);
INSERT INTO about VALUES ('can', 'W0', 5);
INSERT INTO about VALUES ('can', 'W1', 17);
INSERT INTO about VALUES ('can', 'K7', 29);
INSERT INTO about VALUES ('can', 'K7', 30);
INSERT INTO about VALUES ('can', 'K7', 36);
INSERT INTO about VALUES ('can', 'K7', 37);
INSERT INTO about VALUES ('finish', 'hard wax', 39);
INSERT INTO about VALUES ('finish', 'hard wax', 40);
INSERT INTO about VALUES ('finish', 'house oil', 50);
INSERT INTO about VALUES ('finish', 'house oil', 51);
INSERT INTO about VALUES ('lot', 'rest-1', 12);
INSERT INTO about VALUES ('lot', 'salt-1', 13);
INSERT INTO about VALUES ('lot', 'salt-1', 14);
INSERT INTO about VALUES ('lot', 'rest-1', 15);
INSERT INTO about VALUES ('lot', 'rest-1', 16);
INSERT INTO about VALUES ('lot', 'rest-1', 17);
INSERT INTO about VALUES ('lot', 'rest-1', 18);
INSERT INTO about VALUES ('lot', 'salt-1', 19);
INSERT INTO about VALUES ('lot', 'salt-1', 20);
INSERT INTO about VALUES ('lot', 'salt-1', 21);
INSERT INTO about VALUES ('lot', 'salt-1', 22);
INSERT INTO about VALUES ('lot', 'salt-2', 22);
INSERT INTO about VALUES ('lot', 'salt-1', 23);
INSERT INTO about VALUES ('lot', 'salt-3', 23);
INSERT INTO about VALUES ('lot', 'salt-3', 24);
INSERT INTO about VALUES ('lot', 'salt-3', 25);
INSERT INTO about VALUES ('lot', 'salt-3', 26);
INSERT INTO about VALUES ('lot', 'salt-1', 27);
INSERT INTO about VALUES ('lot', 'salt-2', 28);
INSERT INTO about VALUES ('lot', 'salt-1', 29);
INSERT INTO about VALUES ('lot', 'salt-2', 30);
INSERT INTO about VALUES ('lot', 'salt-1', 32);
INSERT INTO about VALUES ('lot', 'salt-1', 33);
INSERT INTO about VALUES ('lot', 'salt-1', 34);
INSERT INTO about VALUES ('lot', 'salt-2', 35);
INSERT INTO about VALUES ('lot', 'salt-2', 36);
INSERT INTO about VALUES ('lot', 'salt-1', 37);
INSERT INTO about VALUES ('lot', 'rest-1', 38);
INSERT INTO about VALUES ('lot', 'rest-1', 39);
INSERT INTO about VALUES ('lot', 'rest-1', 40);
INSERT INTO about VALUES ('lot', 'rest-1', 41);
INSERT INTO about VALUES ('lot', 'rest-1', 42);
INSERT INTO about VALUES ('lot', 'rest-1', 43);
INSERT INTO about VALUES ('lot', 'salt-4', 46);
INSERT INTO about VALUES ('lot', 'salt-4', 48);
INSERT INTO about VALUES ('lot', 'salt-2', 50);
INSERT INTO about VALUES ('lot', 'salt-2', 51);
INSERT INTO about VALUES ('pace', 'two coats', 14);
INSERT INTO about VALUES ('pace', 'one coat', 15);
INSERT INTO about VALUES ('pace', 'two coats', 19);
INSERT INTO about VALUES ('pace', 'two coats', 29);
INSERT INTO about VALUES ('pace', 'two coats', 30);
INSERT INTO about VALUES ('plan', '47', 47);
INSERT INTO about VALUES ('plan', '49', 49);
INSERT INTO about VALUES ('rack', 'drip-1', 12);
INSERT INTO about VALUES ('rack', 'shelf', 23);
INSERT INTO about VALUES ('rack', 'drip-1', 27);
INSERT INTO about VALUES ('rack', 'drip-1', 28);
INSERT INTO about VALUES ('rack', 'loft', 38);
INSERT INTO about VALUES ('rack', 'shelf', 46);
INSERT INTO about VALUES ('rags', '17', 17);
INSERT INTO about VALUES ('rags', '17', 18);
INSERT INTO about VALUES ('rags', '29', 29);
INSERT INTO about VALUES ('rags', '30', 30);
INSERT INTO about VALUES ('rags', '36', 36);
INSERT INTO about VALUES ('rags', '37', 37);
INSERT INTO about VALUES ('recipe', 'one coat', 6);
INSERT INTO about VALUES ('recipe', 'two coats', 7);
INSERT INTO about VALUES ('recipe', 'one coat', 8);
INSERT INTO about VALUES ('room', 'oil room', 10);
INSERT INTO about VALUES ('room', 'oil room', 11);
INSERT INTO about VALUES ('room', 'oil room', 44);
INSERT INTO about VALUES ('room', 'oil room', 45);
INSERT INTO about VALUES ('setup', 'setup', 1);
INSERT INTO about VALUES ('setup', 'setup', 31);
INSERT INTO about VALUES ('shipment', '42', 42);
CREATE INDEX about_by_entry ON about (entry, kind, name);
CREATE INDEX about_by_kind ON about (kind, entry);
CREATE TABLE open_now (
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (kind, name)
) STRICT, WITHOUT ROWID;
INSERT INTO open_now VALUES ('batch', 'rest');
INSERT INTO open_now VALUES ('batch', 'salt');
INSERT INTO open_now VALUES ('can', 'K7');
INSERT INTO open_now VALUES ('can', 'W1');
INSERT INTO open_now VALUES ('rags', '29');
INSERT INTO open_now VALUES ('rags', '30');
INSERT INTO open_now VALUES ('rags', '36');
INSERT INTO open_now VALUES ('rags', '37');
CREATE TABLE reading (
    room     TEXT NOT NULL,
    at       INTEGER NOT NULL,               -- seconds since 1970-01-01 UTC
    temp     REAL NOT NULL,                  -- °C
    humidity REAL,                           -- % relative, over water
    surface  REAL,                           -- °C of the pieces, where it was measured
    entry    INTEGER NOT NULL REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    PRIMARY KEY (room, at)
) STRICT, WITHOUT ROWID;
INSERT INTO reading VALUES ('oil room', 1772438400, 20.5, 50.0, NULL, 11);
INSERT INTO reading VALUES ('oil room', 1772440200, 21.0, 51.0, NULL, 11);
INSERT INTO reading VALUES ('oil room', 1772442000, 21.5, NULL, NULL, 11);
INSERT INTO reading VALUES ('oil room', 1772442300, 21.5, 52.0, 20.0, 10);
CREATE TABLE reminder (
    thing TEXT PRIMARY KEY,                  -- the same while it is the same thing
    state TEXT NOT NULL CHECK (state IN ('claimed', 'told', 'later', 'cleared')),
    turn  INTEGER NOT NULL,                  -- grows with each claim, so that only the last claimant marks it
    since TEXT NOT NULL,                     -- in this state, RFC 3339, UTC
    until TEXT                               -- a claim's lease, or for how long it is put off
) STRICT, WITHOUT ROWID;
CREATE TABLE calendar_event (
    uid   TEXT PRIMARY KEY,
    event TEXT NOT NULL CHECK (json_valid(event))
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never changed, undo records a further one'); END;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never deleted, undo records a further one'); END;
