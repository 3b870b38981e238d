/**
 * What the bench's simulated rig changes in the level from one time a board is put in to the next, standard deviation in dB:
 * without it a gauge study would find a rig that no pogo pin can be. Common practice, no source.
 */
export const simulatedContactDb = 0.02
