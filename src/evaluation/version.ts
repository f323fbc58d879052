/**
 * The version of the evaluation: it changes with every change that can move a figure or a verdict, and is stored with
 * each record. 1: levels as the gauge shows them. 2: levels corrected as the calibration states. 3: slow strokes before
 * the hold are read. 4: elementary functions of its own, so that every engine comes to the same last bit. 5: one
 * account of the course from the shut-in to the release, heat of compression and creep told from a leak. What a plan
 * asks for (corrections, strokes) stands in the plan.
 */
export const evaluationVersion = '5';
