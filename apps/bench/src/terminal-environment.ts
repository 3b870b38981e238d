const buildServerNames = ['CI', 'CONTINUOUS_INTEGRATION', 'BUILD_NUMBER', 'RUN_ID']

/**
 * A person sits at a terminal, whatever a build server's environment says: draw while running, and in colour.
 * Must run before Ink and its colour library are loaded, as they read the environment once.
 */
export function forgetBuildServer(env: NodeJS.ProcessEnv) {
  for (const name of buildServerNames) delete env[name]
}
