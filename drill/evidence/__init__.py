"""The evidence clock: from what was shown alone, when could an attentive pilot have known what was wrong?"""
